### Die Einheit, die gerade läuft.

## Satzteile

floor-amount = { $measure ->
    [hold] { $n } s
    [carry] { $n } m
   *[repetitions] { $n ->
        [one] { $n } Wiederholung
       *[other] { $n } Wiederholungen
    }
}
floor-load-each = { $mass } in jeder Hand
floor-load-added = Körpergewicht plus { $mass }
floor-load-assisted = Körpergewicht minus { $mass }
floor-load-body = Körpergewicht
floor-load-band = Band
floor-load-band-named = Band { $band }
floor-what-load = { $amount } mit { $load }
floor-leave = { $n } übrig lassen
floor-side-left = links
floor-side-right = rechts

## Der Satz, der ansteht

floor-working = Satz { $n } von { $of }
floor-ramp = Aufwärmsatz { $n } von { $of }
floor-search = Die passende Last finden, Satz { $n } von höchstens { $of }
floor-set = { $count }: { $what }.
floor-made = gewollt { $wanted }, möglich { $made }
floor-load-open = Wähle eine Last, bei der { $reserve } übrig bleiben.
floor-too-heavy = Schon die leichteste Last war zu viel. Wähle einen leichteren Anfang.
floor-one-sided = Erst die eine Seite, dann die andere: { $first } zuerst, dann { $second } ebenso viele.
floor-in-turn = Im Wechsel mit { $movement }.
floor-eased = Leichter als geplant, wie deine Grenzen es verlangen.
floor-kit-taken = Das Gerät dafür ist als besetzt vermerkt.
floor-discs = Je Seite: { $discs }
floor-discs-none = Nur die Stange
floor-bar = { $bar }, { $mass }
floor-bar-collars = { $bar }, { $mass } mit Verschlüssen
floor-disc-on = { $disc } auf jede Seite stecken
floor-disc-off = { $disc } von jeder Seite nehmen
floor-hold-end = Das andere Ende dabei festhalten.
floor-blocks = Die Stange auf Blöcke oder Ablagen legen, so hoch wie mit einer großen Scheibe.
floor-partner-on = Gerade liegen { $load } für deinen Partner auf der Stange.
floor-because-proposed = { $why }
floor-because-best = Aus deiner letzten Bestleistung.
floor-because-found = Die Last, die du heute gefunden hast.
floor-because-as-done = Wie du zuletzt aufgelegt hast.
floor-because-eased = Leichter, wie deine Grenzen es verlangen.
floor-caution = Vorsicht
floor-coach-cue = Dein Trainer: { $cue }
floor-then = Dann { $movement }
floor-rest = Pause zwischen den Sätzen
floor-rest-over = Pause vorbei
floor-under-floor = Ein schwerer Satz verlangt zwei Minuten Pause.
floor-time-left = noch { $time }

## Abschnitte

floor-before = Bevor du anfängst
floor-warm-up-general = Lockere Bewegung, { $time }
floor-warm-up-ankle_mobility = Sprunggelenke beweglich machen, { $time }
floor-finished = Alle Sätze sind getan
floor-paused = Unterbrochen
floor-ended-lifter = Einheit beendet
floor-ended-forgotten = Einheit zur Zeit ihres letzten Satzes beendet
floor-ended-flag = Einheit gesichert und beendet
floor-sum = { $done ->
    [one] { $done } Satz getan
   *[other] { $done } Sätze getan
}{ $left ->
    [0] .
   *[other] ; { $left } nicht getan.
}
floor-forgotten = Seit { $time } wurde nichts eingetragen.
floor-ends = Ende um { $time }
floor-barred = Jetzt kann keine Einheit beginnen. { $because }

## Fragen davor

floor-row-days = Welcher Tag?
floor-row-company = Allein oder mit Hilfe an der Stange?
floor-row-safeties = Sicherheitsablagen am Gestell?
floor-row-adult = Ist der Erwachsene da?
floor-row-feeling = Wie fühlst du dich?
floor-row-minutes = Verfügbare Minuten
floor-row-places = Wo?
floor-row-loads = Last
floor-row-all_loads = Jede Last, die dein Gerät hergibt
floor-row-amounts = { $measure ->
    [hold] Sekunden: eine Berührung trägt ein
    [carry] Meter: eine Berührung trägt ein
   *[repetitions] Wiederholungen: eine Berührung trägt ein
}
floor-row-reserve = Wie viele gute wären noch gegangen?
floor-row-missed = Die letzte
floor-row-ago = Wann war er zu Ende?
floor-row-sides = Seiten
floor-row-other = Etwas anderes
floor-row-sets = Berichtigen
floor-row-remove = Aus dem Tagebuch nehmen
floor-row-offers = Stattdessen
floor-row-kit = Was ist besetzt?
floor-row-wrong = Was ist es?
floor-row-regions = Wo?
floor-row-nature = Kennst du das?
floor-row-severity = Wie sehr?
floor-row-flags = Was davon?
floor-row-confirm = Bestätigen
floor-row-lines = Gehe zu
floor-row-extra = Ein Satz mehr
floor-row-late = Schon getan, nicht eingetragen
floor-row-movements = Dazunehmen
floor-row-partner = Last deines Partners
floor-row-search = Wie viele gute wären noch gegangen?
floor-row-lighter = Ein leichterer Anfang

## Formulare

floor-form-not_as_written = Anders als geplant
floor-form-correct = Diesen Satz berichtigen
floor-form-late = Ein früherer Satz
floor-form-other_side = Die andere Seite
floor-form-all_loads = Welche Last?
floor-form-all_amounts = Wie viele?
floor-form-reserves = Wie viele gute wären noch gegangen?
floor-form-sets = Getane Sätze
floor-form-stand_ins = Statt { $movement }
floor-form-stand_ins-none = Hier und jetzt passt nichts statt { $movement }.
floor-form-kit = Gerät
floor-form-minutes = Wie viele Minuten bleiben?
floor-form-minutes_answer = In den verbleibenden Minuten
floor-form-wrong = Etwas stimmt nicht
floor-form-where = Wo tut es weh?
floor-form-how = { $region }
floor-form-much = { $region }: wie sehr?
floor-form-unwell = Mir ist nicht gut
floor-form-flag_where = Wo?
floor-form-confirm = Zum Bestätigen noch einmal berühren. Das lässt sich nicht zurücknehmen.
floor-form-lines = Übungen heute
floor-form-movements = Eine Übung dazunehmen
floor-form-sharing = Die Stange teilen
floor-answer-seconds = Es bleiben etwa { $time } zu tun.
floor-side-asked = Seite: { $side }

## Knöpfe

floor-begin-day = { $weekday } anfangen: { $movements }
floor-begin-free = Eine Einheit ohne Programm anfangen
floor-day = { $weekday }: { $movements }
floor-day-free = Ohne Programm
floor-company-alone = Allein
floor-company-spotted = Mit Hilfe
floor-now-alone = Ich bin jetzt allein
floor-now-spotted = Ich habe jetzt Hilfe
floor-safeties-yes = Ablagen eingestellt
floor-safeties-no = Keine Ablagen
floor-adult-yes = Ein Erwachsener ist da
floor-adult-no = Kein Erwachsener ist da
floor-feeling-well = Gut
floor-feeling-usual = Wie immer
floor-feeling-tired = Müde
floor-minutes-planned = Wie geplant
floor-warm-up-done = Getan: { $what }
floor-warm-up-skip = Den lockeren Teil auslassen
floor-done = Getan: { $amount }
floor-done-load = Getan: { $amount } mit { $load }
floor-missed = Letzte verfehlt: { $amount }
floor-missed-load = Letzte verfehlt: { $amount } mit { $load }
floor-record-other = { $done }, andere Seite { $n }
floor-record-reserve = { $done }, { $n } übrig
floor-record-ago = { $done }, vor { $n } min
floor-search-left = { $n ->
    [5] 5 oder mehr übrig
   *[other] { $n } übrig
}
floor-search-form = Die Ausführung änderte sich
floor-hold-begin = Das Halten beginnen
floor-not-as-written = Anders als geplant
floor-sets-done = Getane Sätze
floor-reserve-none = Nicht gesagt
floor-reserve-n = { $n ->
    [5] 5 oder mehr
   *[other] { $n }
}
floor-missed-yes = Ich habe sie verfehlt
floor-missed-no = Ich habe sie nicht verfehlt
floor-ago-now = Eben gerade
floor-ago = { $n ->
    [one] Vor einer Minute
   *[other] Vor { $n } Minuten
}
floor-sides-apart = Jede Seite für sich
floor-sides-together = Beide Seiten gleich
floor-turn-loads = Eine andere Last
floor-turn-amounts = Eine andere Zahl
floor-turn-near = Zurück zu den nahen
floor-turn-reserves = Sagen, was übrig war
floor-back = Zurück
floor-longer = Länger
floor-ready = Jetzt bereit
floor-ended-earlier = War vor einer Minute zu Ende
floor-stand-ins = Ersatzübung
floor-stand-ins-for = Statt { $movement }
floor-offer = { $movement }: { $what }
floor-offer-search = die Last wird erst gefunden
floor-kit = Gerät ist besetzt
floor-taken = { $item }: besetzt
floor-free = { $item }: wieder frei
floor-minutes-left = Minuten, die bleiben
floor-minutes-take = So machen
floor-minutes-take-other = Mit anderen Übungen
floor-wrong = Etwas stimmt nicht
floor-hurts = Es tut weh
floor-unwell = Mir ist nicht gut
floor-nature-usual = Mein Übliches
floor-nature-new_or_worse = Neu oder schlimmer
floor-severity-mild = Ein wenig
floor-severity-moderate = Es stört
floor-severity-severe = Es hindert
floor-confirm = Ja: { $flag }
floor-confirm-where = Ja: { $flag }, { $region }
floor-dial = Den Notruf wählen
floor-lines = Übungen heute
floor-line = { $movement }: { $done } von { $sets } getan
floor-line-out = { $movement }: fällt weg, { $because }
floor-extra = Ein Satz mehr: { $movement }
floor-late = Einen Satz eintragen: { $movement }
floor-movements = Eine Übung dazunehmen
floor-lighter-bar = { $bar }, { $mass }
floor-lighter-dumbbells = Zwei Kurzhanteln zu { $mass }
floor-lighter-kettlebell = Eine Kugelhantel zu { $mass }
floor-lighter-unloaded = Ohne Last
floor-sharing = Die Stange teilen
floor-partner-none = Kein Partner
floor-partner = Partner: { $load }
floor-pause = Unterbrechen
floor-more = Mehr
floor-resume = Weiter
floor-close = Einheit beenden
floor-close-forgotten = Zum Stand von { $time } beenden
floor-speak = Vorlesen
floor-note = Notiz
floor-remove = Wegnehmen: { $what }
floor-logged = { $movement }: { $what }

## Zurücknehmen

floor-undo = Zurücknehmen: { $what }
floor-undo-begun = den Anfang
floor-undo-warmed_up = das Aufwärmen
floor-undo-logged = { $what }, { $movement }
floor-undo-corrected = die Berichtigung bei { $movement }
floor-undo-removed = das Wegnehmen eines Satzes von { $movement }
floor-undo-hold_begun = den Beginn des Haltens
floor-undo-longer = die längere Pause
floor-undo-ready = jetzt bereit
floor-undo-ended_earlier = war vor einer Minute zu Ende
floor-undo-stood_in = die Ersatzübung { $movement }
floor-undo-taken = { $item } besetzt oder frei
floor-undo-minutes = gekürzt auf { $n } min
floor-undo-sore = was weh tut
floor-undo-went_to = den Gang zu { $movement }
floor-undo-extra_set = den zusätzlichen Satz { $movement }
floor-undo-added = die zusätzliche Übung { $movement }
floor-undo-lighter = den leichteren Anfang
floor-undo-partner = die Last des Partners
floor-undo-circumstances = die Änderung, wer da ist
floor-undo-closed = das Beenden
floor-undo-noted = die Notiz

## Was gesagt wird

floor-told-cut = { $movement }: { $to } von { $from } Sätzen, weil Minuten fehlen.
floor-told-cut-out = { $movement } fällt weg, weil Minuten fehlen.
floor-told-out = { $movement } fällt weg: { $because }.
floor-told-eased = { $movement } wird leichter, wie deine Grenzen es verlangen.
floor-told-brought_in = { $movement } kommt dazu, mit { $sets ->
    [one] { $sets } Satz
   *[other] { $sets } Sätzen
}.
floor-told-load_kept = { $movement } geht weiter mit { $load }.
floor-told-found = { $movement }: arbeite heute mit { $load }.
floor-told-too_heavy = { $movement }: fang leichter an.
floor-out-discomfort = Beschwerden: { $region }
floor-out-new_discomfort = neu oder schlimmer: { $region }; lass das erst ansehen
floor-out-region_out = ausgespart, bis eine Rückkehr eingetragen ist: { $region }
floor-out-after_surgery = die Grenzen des Chirurgen fehlen: { $region }
floor-out-lying_on_back = auf dem Rücken liegen soll entfallen
floor-out-lying_on_front = auf dem Bauch liegen soll entfallen
floor-out-alone_without_safeties = du bist allein und ohne Ablagen
floor-out-unknown_movement = dieser Katalog kennt sie nicht
floor-out-minutes = es bleiben keine Minuten dafür
floor-out-hurt = es tat weh
floor-out-stood_in = eine andere Übung vertritt sie

## Abgelehnt

floor-refused-not_now = Das geht hier nicht.
floor-refused-doubled = Zweimal gedrückt; es zählt einmal.
floor-refused-field = { $field }: wähle etwas Angebotenes.
floor-refused-company = Sag zuerst, ob du allein bist.
floor-refused-safeties = Sag zuerst, ob Ablagen da sind.
floor-refused-adult = Erst muss ein Erwachsener da sein.
floor-refused-flag_stands = Was du bestätigt hast, gilt und lässt sich nicht zurücknehmen.
floor-refused-plan = Der Plan hat keine Antwort: { $fault }
