### Der Schreibtisch der Trainerin oder des Trainers: Seiten im Browser.

desk-name = Plinth, der Schreibtisch
desk-skip = Zu dem, worum es auf dieser Seite geht
desk-places = Die Orte des Schreibtischs
desk-not-medical = Nichts hier ist ärztlicher Rat oder eine Diagnose. Schmerz, Krankheit und jedes bekannte Leiden gehören in zugelassene Behandlung.
desk-invented = Ein Vorführhaus: Alle hier sind erfunden, und ihr Training ist nachgestellt.
desk-lifters = Trainierende
desk-drafting = Entwürfe
desk-published = Veröffentlicht
desk-house = Haus
desk-failed = Das ging nicht

## Anmelden

desk-sign-in = Anmelden
desk-sign-in-about = Dieser Browser wird gekoppelt wie jedes andere deiner Geräte: mit einem Code vom Betreiber des Servers. Ein Code zählt einmal und zehn Minuten lang.
desk-code = Der Code
desk-browser = Wie dieser Browser in der Liste deiner Geräte heißt
desk-browser-plain = Browser am Schreibtisch
desk-wrong-code = Dieser Code zählt nicht. Bitte den Betreiber des Servers um einen neuen: ein Code zählt einmal und zehn Minuten lang.
desk-not-a-coach = Dieser Code gehört nicht zu einem Trainerkonto. Bitte den Betreiber des Servers um einen für deines; dieser hier zählt dort, wo er hingehört, noch.
desk-too-often = Es wurden zu viele Codes versucht. Warte eine Minute und bitte den Betreiber des Servers dann um einen neuen.
desk-sign-out = Abmelden
desk-sign-out-everywhere = Überall abmelden

## Wer da ist.

desk-search = Ein Name
desk-search-go = Danach suchen
desk-nobody = Noch niemand hat dir eine Aufzeichnung geöffnet. Das geschieht im Spind, mit dem Namen deines Kontos.
desk-count = { $all ->
    [one] Eine Person hat dir ihre Aufzeichnung geöffnet.
   *[other] { $all } Personen haben dir ihre Aufzeichnungen geöffnet; { $n } werden gezeigt. Zuerst steht, wo sich fünf Minuten am meisten lohnen.
}
desk-nothing-new = Nichts, was nach dir fragt.
desk-late = { $n ->
    [one] Eine Aufzeichnung wird noch gelesen.
   *[other] { $n } Aufzeichnungen werden noch gelesen.
} Sieh gleich noch einmal nach.
desk-heard = Zuletzt gehört am { $day }.
desk-never-heard = Noch nie gehört.

## Warum sich ein Blick lohnt.

desk-reason-flag = Ein Warnzeichen, auf das noch keine Behandlung folgte: { $flag }.
desk-reason-flag-on = Ein Warnzeichen, auf das noch keine Behandlung folgte: { $flag }, am { $day }.
desk-reason-pain = Neue oder schlimmere Beschwerden: { $region }.
desk-reason-pain-since = Neue oder schlimmere Beschwerden: { $region }, seit { $day }.
desk-reason-notes = { $n ->
    [one] Eine Notiz ist
   *[other] { $n } Notizen sind
} noch nicht gelesen.
desk-reason-plateau = { $movement }: ein Plateau mit einer Wahrscheinlichkeit von { $percent } %.
desk-reason-short = { $movement }: die Wiederholungen blieben { $n ->
    [one] in der letzten Einheit
   *[other] in { $n } Einheiten hintereinander
} unter dem Bereich.
desk-reason-over = Das Programm ist zu Ende.
desk-reason-runs-out = Das Programm endet { $n ->
    [one] mit dieser Woche.
   *[other] mit den { $n } Wochen, die bleiben.
}
desk-reason-no-programme = Kein Programm läuft, soweit du es sehen darfst.
desk-reason-not-heard = Von { $n ->
    [one] einer geplanten Einheit
   *[other] { $n } geplanten Einheiten
} war seit dem { $day } nichts zu hören. Das heißt nicht, dass sie ausgefallen sind.
desk-reason-never-heard = Von { $n ->
    [one] einer geplanten Einheit
   *[other] { $n } geplanten Einheiten
} war nie etwas zu hören. Das heißt nicht, dass sie ausgefallen sind.

## Eine Person

desk-nobody-here = Niemand hier
desk-not-granted = Dir ist hier nichts geöffnet. Bitte darum.
desk-part-not-granted = Das ist dir nicht geöffnet.
desk-granted = Erlaubt: { $what }.
desk-group-log = das Protokoll
desk-group-findings = Befunde
desk-group-discomfort = Beschwerden
desk-group-body-mass = Körpermasse
desk-group-screening = die Selbstauskunft
desk-group-programmes = Programme schreiben
desk-group-notes = Notizen schreiben
desk-now = Was nach dir fragt
desk-findings = Befunde
desk-bests = Das Meiste bisher, nach Wiederholungen
desk-rests-on = Worauf das beruht
desk-log = Protokoll
desk-no-log = Keine Einheit ist aufgezeichnet.
desk-set = { $amount } { $load }, { $reserve }{ $kind ->
    [missed] {" "}(verfehlt)
    [warm-up] {" "}(Aufwärmsatz)
   *[done] {""}
}
desk-set-bare = { $amount }, { $reserve }{ $kind ->
    [missed] {" "}(verfehlt)
    [warm-up] {" "}(Aufwärmsatz)
   *[done] {""}
}
desk-set-reps = { $n ->
    [one] eine Wiederholung
   *[other] { $n } Wiederholungen
}
desk-set-hold = { $n } s gehalten
desk-set-carry = { $n } m getragen
desk-set-left = { $n } übrig
desk-set-not-reported = Reserve nicht gesagt
desk-load = mit { $mass }
desk-load-pair = mit zweimal { $mass }
desk-load-added = mit { $mass } zusätzlich
desk-load-assisted = mit { $mass } weniger
desk-load-body = mit Körpermasse
desk-load-band = mit dem Band { $band }
desk-notes = Notizen
desk-no-notes = Keine Notizen.
desk-note-lifter = Von der Person selbst
desk-note-coach = Vom Trainer oder von der Trainerin
desk-note-guardian = Von der erziehungsberechtigten Person
desk-read = gelesen
desk-not-yet-read = noch nicht gelesen
desk-not-from-here = Dieses Formular gehört nicht zu diesem Besuch. Öffne die Seite noch einmal und schick es von dort.
desk-note-mark = Als gelesen merken
desk-note-write = Eine Notiz schreiben
desk-note-send = Die Notiz schicken
desk-to-groups = Gruppen
