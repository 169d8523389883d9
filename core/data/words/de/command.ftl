### Köpfe und Beschriftungen der Kommandozeile.

## Tabellenköpfe

head-movement = Übung
head-sets = Sätze
head-rest = Pause
head-ramp = Aufwärmen
head-reps = Wdh.
head-leave = übrig
head-points = Punkte
head-why = warum
head-weekly-sets = Wochensätze
head-direct = direkt
head-shared = geteilt
head-total = gesamt
head-aim = Ziel
head-days = Tage
head-week = Woche
head-reserve = Reserve
head-set = Satz
head-load = Last
head-each-side = je Seite, von innen
head-off = ab
head-on = auf
head-id = Kennung
head-name = Name
head-region = Region
head-major = groß
head-base-group = Grundgruppe
head-pattern = Muster
head-trains = trainiert
head-source = Quelle
head-stand-in = Ersatz
head-when = wann
head-still-to-do = noch zu tun
head-equation = Formel
head-estimate = Schätzung
head-made-for = gemacht für
word-yes = ja

## Der Plan

day-head = { $day }: { $movements }
in-turn = { $n ->
    [one] { $n } Satz im Wechsel mit { $letter }
   *[other] { $n } Sätze im Wechsel mit { $letter }
}
day-foot = { $used } von { $minutes } Minuten; { $general } allgemeines Aufwärmen
day-foot-ankles = { $used } von { $minutes } Minuten; { $general } allgemeines Aufwärmen, { $ankles } Beweglichkeit der Knöchel
week-minutes = { $minutes } Minuten pro Woche. { $claim }
why-day = Warum, { $day }
volume-below-minimum = unter dem Minimum
volume-below-target = unter dem Ziel
volume-above = über dem Bereich
volume-note = Geteilte Arbeit zählt als halber Satz, nach der Regel, die bei Pelland et al. (2025) am besten passte; die Befunde streuen darum. Ziel: Minimum, Ziel, Höchstmaß.
week-build = Aufbau
week-peak = Höhepunkt, wie oben
week-deload = Entlastung (übliche Praxis)
leave-one = { $reserve } übrig
leave-range = { $low }-{ $high } übrig
plan-not-medical = Kein medizinischer Rat. Schmerz, Krankheit und Grenzen gehören in die Hände von Fachleuten; die Regeln des Ortes und wer dort Aufsicht hat, gehen vor. Lern vor dem ersten Satz, wie du aus einer Übung herauskommst: plinth catalogue ID.

## Lasten

loads-head = Lasten der ersten Einheit ({ $day }, Woche 1)
load-from-best = { $made } ({ $how }; { $percent } % von etwa { $maximum }, aus { $load } x { $reps } mit { $reserve } übrig)
load-made = gewünscht { $wanted }, gemacht { $made }
load-find = noch keine Bestleistung: probier der Reihe nach { $reps } Wiederholungen mit { $loads }; hör beim ersten Satz auf, der weniger als { $reserve } übrig lässt, oder wenn sich die Ausführung ändert
load-body-mass = Körpergewicht
load-band = ein Band, das die verlangte Reserve lässt
load-bar = { $bar } ({ $kit }): { $moves } Scheibengriffe je Seite; jeden Satz mit der schwersten zuerst zu laden braucht { $greedy }.
load-kit-yours = deine Ausrüstung
load-kit-invented = übliche Scheiben eines Studios, erfunden
set-ramp = Aufwärmen, { $reps } Wiederholungen
set-work = Arbeit
set-work-reps = Arbeit, { $reps } Wiederholungen
discs-none = leere Stange
discs-on-blocks = { $discs } (Stange auf Blöcke heben)
estimate-range = Etwa { $middle }; die Formeln sagen { $lowest } bis { $highest }. Eine Schätzung ist kein Maximum, das du versuchen sollst.
route-proved = { $moves } Scheibengriffe je Seite (kein Weg hat weniger); mit der schwersten zuerst sind es { $greedy }. Die Seiten unterscheiden sich nie um mehr als { $imbalance }: be- und entlade sie abwechselnd, sonst kippt die Stange.
route-unproved = { $moves } Scheibengriffe je Seite (die Ausrüstung ist zu vielfältig für einen Beweis); mit der schwersten zuerst sind es { $greedy }. Die Seiten unterscheiden sich nie um mehr als { $imbalance }: be- und entlade sie abwechselnd, sonst kippt die Stange.

## Ein Programm angepasst

adapted-least = { $n ->
    [one] { $n } Unterschied zum veröffentlichten Programm. Keine Anpassung ändert weniger.
   *[other] { $n } Unterschiede zum veröffentlichten Programm. Keine Anpassung ändert weniger.
}
adapted-perhaps = { $n ->
    [one] { $n } Unterschied zum veröffentlichten Programm. Vielleicht gibt es eine kleinere Änderung.
   *[other] { $n } Unterschiede zum veröffentlichten Programm. Vielleicht gibt es eine kleinere Änderung.
}
adapted-day = { $day }, { $difference }
adapted-line = { $day }, { $movement }: { $difference }

## Der Katalog

catalogue-count = { $n ->
    [one] { $shown } von { $n } Übung, Katalog { $version }.
   *[other] { $shown } von { $n } Übungen, Katalog { $version }.
}
page-pattern = Muster
page-joints = Gelenke
page-kit = Ausrüstung
page-asks = Fordert
page-caution = Vorsicht
page-bail-out = Ausweg
page-set-up = Aufbau
page-cue = Stichwort
page-fault = Fehler
page-range = Umfang
page-breathing = Atmung
page-easier = Leichter
page-harder = Schwerer
page-source = Quelle
page-or = { $first }; oder { $next }
page-floor = Boden
asks-little = { $region } (ein wenig)
asks-much = { $region } (ziemlich viel)
asks-most = { $region } (sehr viel)
asks-nothing = keine Region besonders
share-direct = direkt
share-indirect = indirekt
occasion-discomfort = Beschwerden: { $region }
occasion-ankle = Knöchel wenig beweglich
occasion-imbalance = Seiten verschieden
occasion-busy = Platz besetzt
occasion-equipment = Ausrüstung fehlt
occasion-alone = Training allein
occasion-emphasis = Schwerpunkt: { $muscle }
occasion-regression = leichter
occasion-progression = schwerer
occasion-pairing = passt zur Einheit
occasion-lateral = gleich gut

## Die Einheit im Terminal.
floor-cli-wide = Eingabetaste: { $label }
floor-cli-leave = Verlassen; die Einheit bleibt offen
floor-cli-open = Die Einheit bleibt offen: derselbe Befehl führt sie fort.
floor-cli-dial = Ruf { $number } an.
floor-cli-dial-local = Ruf den örtlichen Notruf an.
floor-cli-recovered = Die Aufzeichnung war beschädigt: { $kept } Einträge sind erhalten, { $lost } sind verloren, und die beschädigte Datei liegt unter { $aside }.
floor-cli-backup = Bevor die Aufzeichnung auf diese Fassung gebracht wurde, wurde sie nach { $to } kopiert.
floor-cli-unread = Ein Eintrag der Aufzeichnung ist nicht brauchbar und bleibt darin: { $what }

## Das Protokoll

record-brief = Die Vorgaben stehen im Protokoll.
record-programme = Das Programm ist aufgenommen; sein erster Tag ist der { $day }.
record-exported = { $n ->
    [one] Ein Eintrag wurde nach { $to } geschrieben.
   *[other] { $n } Einträge wurden nach { $to } geschrieben.
}
record-exported-sets = { $n ->
    [one] Ein Satz wurde nach { $to } geschrieben.
   *[other] { $n } Sätze wurden nach { $to } geschrieben.
}
record-imported = { $taken ->
    [one] Ein Eintrag wurde angenommen
   *[other] { $taken } Einträge wurden angenommen
}; das Protokoll geändert haben { $changed }.
record-refused = Zeile { $line }, Eintrag { $entry }, Feld { $field }: { $reason }; { $remedy }.
record-refused-count = { $n ->
    [one] ein Eintrag wurde abgelehnt; die anderen sind angenommen. Bessere ihn in der Datei aus und importiere sie noch einmal.
   *[other] { $n } Einträge wurden abgelehnt; die anderen sind angenommen. Bessere sie in der Datei aus und importiere sie noch einmal.
}
record-check-good = { $n ->
    [one] Ein Eintrag, und er stimmt mit seiner Prüfsumme überein; die Summen stimmen.
   *[other] { $n } Einträge, und jeder stimmt mit seiner Prüfsumme überein; die Summen stimmen.
}
record-check-bad = das Protokoll ist beschädigt: { $fault }; öffne es mit einem beliebigen Befehl noch einmal: was gut ist, wird gerettet, und die beschädigte Datei bleibt daneben.
record-backup = { $n ->
    [one] Eine Sicherung mit einem Eintrag wurde nach { $to } geschrieben.
   *[other] Eine Sicherung mit { $n } Einträgen wurde nach { $to } geschrieben.
}
record-restored = { $n ->
    [one] Die Sicherung steht jetzt unter { $to }, mit einem Eintrag.
   *[other] Die Sicherung steht jetzt unter { $to }, mit { $n } Einträgen.
}
record-replaced = Was vorher dort war, liegt unter { $aside }.
record-key = Diese Wörter öffnen deine versiegelten Sicherungen. Sie werden nur dieses eine Mal gezeigt und hier nirgends aufbewahrt: schreib sie auf, nicht auf diesem Gerät.
record-sealed = { $n ->
    [one] Eine versiegelte Sicherung mit einem Eintrag wurde nach { $to } geschrieben.
   *[other] Eine versiegelte Sicherung mit { $n } Einträgen wurde nach { $to } geschrieben.
}
record-opened = Die Sicherung wurde nach { $to } geöffnet; "plinth record restore" setzt sie an die Stelle eines Protokolls.
record-erased = Alles wurde gelöscht.

## Der Server und der Abgleich mit ihm

head-account = Konto
head-role = Rolle
head-devices = Geräte
head-device = Gerät
head-paired = gekoppelt
head-heard = gehört
head-revoked = gesperrt
host-serves-own = Wartet an { $at } mit einem eigenen Zertifikat. Geräte rufen { $address } und nehmen genau das Zertifikat { $fingerprint }, das jede Einladung nennt.
host-serves-public = Wartet an { $at } mit dem angegebenen Zertifikat. Geräte rufen { $address }.
host-serves-proxy = Wartet an { $at } ohne Verschlüsselung, hinter einem Proxy, der TLS sprechen muss. Geräte rufen { $address }.
host-serves-plain = Wartet an { $at } ohne Verschlüsselung, nur für diesen Rechner. Geräte auf ihm rufen { $address }.
host-metrics = Was der Server zählt, steht unter http://{ $at }/metrics.
host-new-store = Der Speicher ist neu, neben einem Register von früher: jedes Gerät muss neu gekoppelt werden. Was gelöscht wurde, bleibt gelöscht.
host-older-store = Der Speicher ist eine ältere Kopie seiner selbst. Er hat eine neue Epoche, damit jedes Gerät noch einmal anbietet, was es hat; Sperrungen, zurückgezogene Freigaben und Löschungen des Registers gelten.
host-no-ledger = Das Register gehört nicht zu diesem Speicher: { $why }. Alle Zugänge und alle Freigaben wurden gesperrt, und der Speicher hat eine neue Epoche: kopple jedes Gerät neu.
host-ledger-aside = Das Register, das dort war, liegt unter { $aside }.
host-invited = Ein Gerät koppelt sich mit dieser Zeile für das Konto { $account }, innerhalb von zehn Minuten. Das kann jeder, der die Zeile hat: gib sie persönlich weiter.
host-revoked = Das Gerät { $device } wurde gesperrt.
host-erased = Das Konto { $account } wurde gelöscht. Die eigenen Geräte behalten, was sie haben.
host-backup = Eine Sicherung wurde nach { $to } geschrieben. Bewahre das Register getrennt davon auf: es darf nie zurückgespielt werden.
host-backup-dated = Eine Sicherung wurde nach { $to } geschrieben, daneben das Register, wie es jetzt ist. Einträge: { $entries }, Konten: { $accounts }.
host-backups-thinned = { $n ->
    [one] Eine ältere Sicherung wurde weggenommen.
   *[other] { $n } ältere Sicherungen wurden weggenommen.
}
host-restored = { $from } wurde geprüft und eine Kopie davon eingesetzt. Einträge: { $entries }, Konten: { $accounts }.
host-restore-aside = Der Speicher, der dort war, liegt unter { $aside }.
host-restore-ledger-taken = Das angegebene Register ist eingesetzt. Was gesperrt, zurückgezogen oder gelöscht wurde, nachdem es kopiert war, steht nicht darin: sieh Geräte und Freigaben durch.
host-restore-ledger-stays = Das Register, das hier war, sagt so viel wie das angegebene und bleibt.
host-restore-follows = Beim nächsten Start nimmt der Server eine neue Epoche: jedes Gerät bietet noch einmal an, was es hat. Was laut Register gesperrt, zurückgezogen oder gelöscht wurde, bleibt so.
host-restore-revokes = Kein Register gehört dazu: { $why }. Beim nächsten Start sperrt der Server alle Zugänge und alle Freigaben, und jedes Gerät muss neu gekoppelt werden. Wenn neben der Sicherung eine Kopie des Registers liegt, spiel sie vorher noch einmal mit --ledger DATEI zurück.
host-restore-bad = die Sicherung ist beschädigt: { $fault }; nichts wurde geändert: nimm eine andere Sicherung.
host-check-good = { $n ->
    [one] Ein Eintrag, und er stimmt mit seiner Prüfsumme überein; die Summen stimmen.
   *[other] { $n } Einträge, und jeder stimmt mit seiner Prüfsumme überein; die Summen stimmen.
}
host-check-bad = der Speicher ist beschädigt: { $fault }; beende den Server, dann repariere den Speicher mit `plinth host check STORE --mend` oder setz mit `plinth host restore` die neueste Sicherung an seine Stelle: die Geräte bringen zurück, was fehlt.
host-mended = Der Speicher war beschädigt. Gute Einträge: { $kept }; hier verlorene Einträge: { $lost }. Der beschädigte Speicher liegt unter { $aside }.
host-mend-made-again = Diese Konten hatten ihre eigene Zeile verloren und wurden als Konten von Trainierenden neu angelegt: { $accounts }. War eines das eines Trainers, lade ihn unter einem anderen Namen ein.
host-mend-grants = Was zurückgezogen war, ließ sich nicht lesen: keine Freigabe gilt, bis ihr Inhaber sie neu schreibt.
host-mend-unreadable = nichts von diesem Speicher lässt sich lesen: { $fault }; setz mit `plinth host restore` die neueste Sicherung an seine Stelle: die Geräte bringen zurück, was der Sicherung fehlt.
sync-together = Beide Seiten haben dasselbe. Gesendet: { $sent }, empfangen: { $received }.
sync-apart = Beide Seiten haben noch nicht dasselbe. Gesendet: { $sent }, empfangen: { $received }, vom Server beiseitegelegt: { $aside }.

## Das Vorführhaus, das im Terminal ohne Befehl aufgeht

demo-making = Ein Vorführhaus entsteht: ein Schreibtisch für Coachs mit fünf erfundenen Trainierenden, deren Training ein kleines Modell nachstellt.
demo-open = Der Schreibtisch ist offen, nur auf diesem Rechner. Ein Druck meldet an: { $with-code }
demo-code = Oder melde dich an bei { $address } mit dem Code { $code }. Ein Code gilt einmal, und zehn Minuten.
demo-another = Für einen weiteren, in einem anderen Terminal: { $command }
demo-ends = Strg-C beendet es und nimmt alles weg, was es geschrieben hat.
demo-kept = Strg-C beendet es. Was es geschrieben hat, bleibt in { $folder }.
demo-lifter = Trainierende Person { $n }
demo-brief = Erfunden: Kraft zuerst
demo-note = Die letzten Kniebeugen kamen von unten langsam hoch. Soll ich bei dieser Last bleiben?
host-picture = Der QR-Code der Einladung liegt in { $path }. Er gilt wie die Zeile: lösche ihn, sobald er gelesen ist.
