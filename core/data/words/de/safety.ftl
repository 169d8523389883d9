### Warnzeichen, Fragen vorab und Grenzen.

## Warnzeichen. Jedes so gesagt, wie man es selbst sagen würde; bestätigt wird durch nochmaliges Tippen auf eben diese Zeile.

flag-chest-pressure = Druck oder Schmerz in Brust, Kiefer oder Arm
flag-fainting = Ohnmächtig geworden, oder beinahe
flag-unusual-breathlessness = Atemnot, wie ich sie sonst nicht kenne
flag-heartbeat-with-symptoms = Unregelmäßiger oder rasender Herzschlag, und mir geht es schlecht dabei
flag-sudden-worst-headache = Plötzlicher Kopfschmerz, so stark wie nie
flag-face-limb-or-speech = Hängendes Gesicht, schwacher Arm oder schwaches Bein, oder Mühe beim Sprechen
flag-saddle-bladder-or-both-legs = Taub zwischen den Beinen, Blase oder Darm neu nicht zu halten, oder beide Beine schwach
flag-deformity = Ein Glied oder Gelenk hat eine Form, die es nicht haben soll
flag-head-injury-with-symptoms = Ein Schlag auf den Kopf, und ich spüre ihn: Schwindel, Übelkeit, Verwirrung oder Kopfschmerz
flag-calf-with-breathlessness = Geschwollene oder schmerzende Wade, und Atemnot
flag-pop-with-lost-strength = Es hat geknallt, und die Kraft ist weg
flag-no-weight-bearing = Ich kann es nicht belasten
flag-spreading-numbness = Taubheit, die sich ausbreitet
flag-hot-swollen-joint = Ein heißes, geschwollenes Gelenk
flag-fever = Fieber
flag-one-calf-swelling = Eine Wade ist geschwollen
flag-dark-urine-with-muscle-pain = Dunkler Urin, und starke Muskelschmerzen
flag-maternity-bleeding = Blutung
flag-maternity-fluid = Flüssigkeit geht ab
flag-maternity-contractions = Regelmäßige, schmerzhafte Wehen
flag-maternity-headache-or-sight = Starker Kopfschmerz, oder ich sehe gestört
flag-maternity-reduced-movement = Das Kind bewegt sich weniger
flag-locking = Es blockiert
flag-giving-way = Es gibt nach
flag-night-pain = Es schmerzt nachts
flag-worsening-pain = Es schmerzt von Training zu Training mehr
flag-lasting-joint-pain-in-a-minor = Ein Gelenk schmerzt seit mehr als einer Woche

## Was zu tun ist

flag-care-emergency = Sofort aufhören. Ruf den örtlichen Notruf an.
flag-care-same-day = Aufhören. Geh noch heute in ärztliche Behandlung.
flag-care-maternity = Aufhören. Melde dich jetzt bei deiner Hebamme oder Geburtsklinik.
flag-care-before-region = Hör mit dem auf, was es belastet. Lass es ärztlich ansehen, bevor du es wieder trainierst.
flag-confirm = Zum Bestätigen noch einmal tippen: { $flag }
flag-confirm-region = Zum Bestätigen noch einmal tippen: { $flag } ({ $region })
flag-let-go = Das ist es nicht
flag-session-closed = Was du getan hast, ist gespeichert. Das Training ist beendet, heute geht es nicht weiter.
flag-region-out = Was diese Stelle belastet ({ $region }), fällt heute und diese Woche weg, bis du eine Rückkehr einträgst.
flag-not-dismissed = Ein bestätigtes Warnzeichen bleibt. Nur eine eingetragene Rückkehr beantwortet es.
flag-dial = { $number } anrufen
flag-address = Du bist hier: { $address }

## Die Rückkehr. Sie wird festgehalten und nicht beurteilt.

return-title = Rückkehr nach: { $flag }
return-advised-by = Wer hat dich beraten?
return-advised-on = An welchem Tag?
return-limits = Welche Grenzen wurden gesetzt?
return-no-limits = Keine Grenzen gesetzt
return-regions-still-out = Was bleibt weg?
return-recorded = Eingetragen: beraten von { $by } am { $date }.

## Warum kein Training beginnt

barred-same-day = Du hast heute ein Warnzeichen gemeldet, das das Training für den Tag beendet. Ist es wieder da, ruf den örtlichen Notruf an oder geh in ärztliche Behandlung.
barred-no-return = Bevor du wieder trainierst: Lass dich ärztlich beraten und trag ein, wer dich wann und mit welchen Grenzen beraten hat.
barred-clearance-first = Nach deinen Antworten ist ärztlicher Rat vor dem Training angebracht. Trag ein, was geraten wurde, dann öffnet sich die Woche.
barred-no-guardian = Unter { $age } braucht es hier die Zustimmung der Sorgeberechtigten.
barred-no-adult = Eine erwachsene Person muss hier sein. Bitte sie, das zu bestätigen.

## Fragen vorab

screening-intro = Drei Fragen. Sie sagen nicht, ob du gesund bist; sie sagen, wann du vorher ärztlichen Rat holen sollst. Bis sie beantwortet sind, bleibt die Woche leicht bis mäßig.
screening-question-regular-exercise = Hast du in den letzten drei Monaten an drei Tagen in der Woche je eine halbe Stunde trainiert oder dich mit etwas Anstrengung bewegt?
screening-question-known-disease = Weißt du von ärztlicher Seite von einer Krankheit des Herzens, der Gefäße oder der Nieren, oder von Diabetes?
screening-question-signs-or-symptoms = Hast du etwas davon: Schmerz oder Druck in Brust, Hals, Kiefer oder Armen; Atemnot in Ruhe oder bei wenig Anstrengung; Schwindel oder Ohnmacht; Mühe beim Atmen im Liegen; geschwollene Knöchel; rasender oder unregelmäßiger Herzschlag; Krämpfe in den Beinen beim Gehen, die in Ruhe vergehen; ein bekanntes Herzgeräusch; ungewohnte Müdigkeit bei alltäglichen Dingen?
screening-question-breath = Weißt du von ärztlicher Seite von hohem Blutdruck, oder von etwas am Herzen, an einem Auge, oder von einem Bruch (Hernie)?
screening-not-regular-none = Nach deinen Antworten ist vorher kein ärztlicher Rat nötig. Fang leicht bis mäßig an; Schwereres kann Schritt für Schritt folgen.
screening-not-regular-disease = Nach deinen Antworten ist ärztlicher Rat vor dem Beginn angebracht. Danach: leicht bis mäßig, und mehr, wie du es verträgst.
screening-not-regular-symptoms = Nach deinen Antworten ist ärztlicher Rat vor dem Beginn angebracht. Danach: leicht bis mäßig, und mehr, wie du es verträgst.
screening-regular-none = Nach deinen Antworten ist vorher kein ärztlicher Rat nötig. Trainiere weiter wie jetzt, und steigere dich.
screening-regular-disease = Mach mäßig weiter. Vor schwerem Training ist nach deinen Antworten ärztlicher Rat angebracht; er gilt zwölf Monate.
screening-regular-symptoms = Hör vorerst mit dem Training auf und hol ärztlichen Rat. Komm danach wieder.
screening-open = Nicht alle Fragen sind beantwortet: nur leichtes bis mäßiges Training.
screening-advised-by = Wer hat dich ärztlich beraten?
screening-advised-on = An welchem Tag?
screening-advised-what = Was wurde erlaubt?

## Schmerz

pain-usual = Wie sonst auch
pain-new-or-worse = Neu oder schlimmer
pain-ease = Es geht leichter weiter: mindestens { $reps } Wiederholungen, mindestens { $reserve } in Reserve.
pain-replace = Diese Übung verlangt zu viel davon. Eine andere tritt an ihre Stelle.
pain-stop = Hör mit dieser Übung auf. Was diese Stelle belastet ({ $region }), bleibt weg, bis sie ärztlich angesehen wurde.

## Hinweise zur Vorsicht

caution-minor-no-singles = Unter { $age } gibt es keine Maximalversuche: Lass mindestens zwei in Reserve.
caution-maternity-stop-signs = Hör auf und melde dich bei deiner Hebamme oder Geburtsklinik bei Blutung, abgehender Flüssigkeit, regelmäßigen schmerzhaften Wehen, starkem Kopfschmerz oder gestörtem Sehen, oder wenn sich das Kind weniger bewegt.
caution-maternity-review-past = Der Tag der Überprüfung ist vorbei. Bis neue Grenzen eingetragen sind, gilt die vorsichtige Vorgabe.
caution-maternity-birth = Nach einer Geburt gilt nicht mehr, was vorher erlaubt war. Frag deine Hebamme oder ärztlich nach und trag den Rat ein.
caution-breathe-through = Atme durch die Anstrengung aus. Nicht lange die Luft anhalten.
caution-care-limits = Für diese Stelle wurden Grenzen gesetzt: { $limits }
caution-usual-discomfort = Das belastet, wo es sonst auch schmerzt. Mach es leichter; ist es neu oder schlimmer, hör auf.
caution-bail-out-first = Lern vor dem ersten Satz, wie du unter der Stange herauskommst, und probier es mit der leeren Stange.
caution-alone-shoulders = Du hebst allein und ohne Ablagen. Lass mindestens drei in Reserve, und wisse, wie du die Stange ablegst.
caution-safeties-height-shoulders = Stell die Ablagen knapp unter den tiefsten Punkt der Stange. Prüf die Höhe mit der leeren Stange.
caution-safeties-height-chest = Stell die Ablagen so, dass sie die Stange vom Hals fernhalten, wenn du die Brust flach machst. Prüf es mit der leeren Stange.
caution-safeties-height-noted = Ablagen: { $height }
caution-spotter-agree = Sprich vorher ab, wann deine Hilfe die Stange nimmt.
caution-heavy-ramp-first = Schwer: Mach erst alle Aufwärmsätze, und hör auf, wenn sich einer davon falsch anfühlt.
caution-first-loads = Die ersten Lasten steigen in kleinen Schritten. Hör auf, wenn weniger als { $reserve } übrig sind, wenn sich deine Ausführung ändert oder wenn es schmerzt.
caution-lighter-bar = Die Stange allein wiegt { $bar }. Das kann zu viel sein: Es geht auch leichter.
caution-start-light = Fang leicht bis mäßig an, und steigere dich von da.
caution-light-only = Nur leicht bis mäßig: Hör auf, solange noch mehrere gute Wiederholungen übrig sind.
caution-collars-off = Hier keine Verschlüsse: Wo nichts die Stange auffängt, muss sie sich kippen lassen.
caution-collars-on = Verschlüsse auf die Stange.
caution-unload-in-turn = Nimm die Scheiben links und rechts im Wechsel ab: Einseitig entladen kippt die Stange.

## Warum das Schwerste nicht angeboten wird

heaviest-barred = Jetzt beginnt kein Training.
heaviest-not-offered = Diese Übung wird dir jetzt nicht angeboten.
heaviest-minor = Das Schwerste ist für Erwachsene.
heaviest-age-unknown = Das Schwerste ist für Erwachsene, und dein Alter ist nicht eingetragen.
heaviest-flag-open = Für ein gemeldetes Warnzeichen ist keine Rückkehr eingetragen.
heaviest-limit-of-care = Von ärztlicher Seite sind Grenzen gesetzt.
heaviest-maternity = In der Schwangerschaft und nach einer Geburt gibt es keine Maximalversuche.
heaviest-breath-hold = Für das Schwerste muss man lange die Luft anhalten, und das ist zu vermeiden.
heaviest-screening = Die Fragen vorab sind offen oder erlauben vorerst weniger.
heaviest-discomfort = Es belastet, wo es schmerzt.
heaviest-ramp-not-done = Mach erst die Aufwärmsätze.
heaviest-nothing-catches = Bestätige Ablagen oder eine Hilfe für dieses Training.
heaviest-instead = Stattdessen: eine Schätzung aus weniger Kilogramm, mit ihrer Spanne.
