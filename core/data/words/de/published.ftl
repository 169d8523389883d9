### Der Schreibtisch: was veröffentlicht ist, und Gruppen.

desk-movement = Übung
desk-sets = Sätze
desk-rest = Pause
desk-purpose = Wozu
desk-line-purpose = { $kind ->
    [carries] Trägt das Programm: { $muscles }.
   *[fills] Füllt, was offen bleibt: { $muscles }.
} { $mark ->
    [keep] Bleibt; nur die Sicherheit ändert daran etwas.
   *[may-bend] Eine Ersatzübung desselben Musters kann dienen.
}
desk-week = Die Woche auf ihrem Höhepunkt
desk-block = Die Wochen des Blocks
desk-block-about = Sätze und Reserve, Woche für Woche
desk-block-week = { $kind ->
    [build] { $n }
    [peak] { $n }, Höhepunkt
   *[deload] { $n }, Entlastung
}
desk-block-none = ruht
desk-block-sets = { $n } ×, { $reserve } übrig

## Was veröffentlicht ist

desk-untitled = Ohne Titel
desk-publication = { $title }, Fassung { $version }
desk-published-none = Noch ist nichts veröffentlicht. Ein Programm beginnt unter Entwürfe.
desk-published-begin = Zu den Entwürfen
desk-published-sent = { $n ->
    [0] Noch an niemanden geschickt.
    [one] An eine Person geschickt.
   *[other] An { $n } Personen geschickt.
}
desk-published-on = Veröffentlicht am { $day }.
desk-publish = Veröffentlichen
desk-publish-about = Es wird Fassung { $version }, so wie es unten steht. Eine veröffentlichte Fassung ändert sich nicht mehr; wer nach einer früheren trainiert, bleibt dabei, bis diese angenommen ist.
desk-publish-title = Titel
desk-publish-do = Fassung { $version } veröffentlichen

## An wen es geht

desk-send = An Personen hier
desk-send-about = Dann liegt es in ihrer Aufzeichnung und wartet. Jedes Telefon sagt, was es ändern würde und warum, und jede Person entscheidet selbst. Eine laufende Einheit behält ihre Fassung.
desk-send-nobody = Niemand hier lässt dich Programme schreiben. Das geschieht im Spind.
desk-send-whom = An wen
desk-send-do = An die Gewählten schicken
desk-send-never = hat keine seiner Fassungen
desk-send-waits = Fassung { $version } wartet dort
desk-send-runs = trainiert nach Fassung { $version }
desk-send-runs-since = trainiert nach Fassung { $version }, angenommen am { $day }
desk-send-aside = Fassung { $version } wurde weggelegt
desk-send-ended = Fassung { $version } ist vorbei
desk-send-gone = Fassung { $version } wurde geschickt und ist nicht mehr da
desk-send-changes = Was sich für { $who } ändert
desk-changes = Was sich für { $who } ändert
desk-changes-about = Das würde das Telefon daran ändern, soweit du es wissen darfst:
desk-changes-none = Nichts: es passt, wie es ist, soweit du es wissen darfst.
desk-changes-unknown = Hier nicht bekannt: Protokoll und Beschwerden sind nicht beide erlaubt. Das Telefon sagt es der Person selbst.
desk-changes-sent = Es ist geschickt und wartet dort.
desk-changes-send = An { $who } schicken

## Wege ohne diesen Server

desk-ways = An alle anderen
desk-ways-about = Ein Telefon nimmt die Datei oder die Texte der Bilder im Spind unter Aufzeichnung an.
desk-way-file = Die signierte Datei
desk-way-pictures = Eine Folge von Bildern
desk-way-sheet = Das Blatt für die Wand
desk-key = Signiert mit dem Schlüssel { $key }. Sag ihn laut, wo jemand zweifelt, dass eine Datei von dir ist.
desk-picture = Bild { $k } von { $n }
desk-pictures-about = { $n ->
    [one] Jeder Leser für QR-Codes liest dieses.
   *[other] Jeder Leser für QR-Codes liest diese { $n }, in beliebiger Folge.
} Setz jeden Text auf eine eigene Zeile einer Datei; das Telefon nimmt sie als Programm an und nennt, was fehlt.
desk-sheet-print = Gedruckt ist jeder Tag ein Blatt für sich.
desk-sheet-head = { $name }. Etwa { $minutes } Minuten, davon zuerst { $warm } in leichter Bewegung.
desk-sheet-rest = Pause { $time }.
desk-sheet-stand-ins = Wenn der Platz besetzt ist: { $which }.
desk-sheet-caution = Hör auf bei Schmerz, Schwindel oder Druck in der Brust und hol Hilfe; im Notfall den örtlichen Notruf wählen. Ablagen einstellen, Verschlüsse an die Stange, Hilfe dabei, wo eine Stange dich einklemmen könnte. Was Behandelnde oder dieses Haus sagen, steht über diesem Blatt. Kein ärztlicher Rat.

## Gruppen

desk-groups = Gruppen
desk-groups-about = Eine Gruppe wählt Personen aus, wenn etwas verschickt wird. Sie öffnet dir nichts, was dir nicht erlaubt ist.
desk-group = Gruppe
desk-group-everybody = alle
desk-group-show = Zeigen
desk-group-new = Eine neue Gruppe
desk-group-name = Wie sie heißt
desk-group-members = Wer darin ist
desk-group-keep = Behalten
desk-group-delete = { $name } löschen
