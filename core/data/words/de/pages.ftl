### The pages of the places besides the floor.

place-floor = Training
place-week = Woche
place-catalogue = Katalog
place-findings = Befunde
place-locker = Spind

page-back = Zurück
page-refused-session = Eine Einheit läuft: erst beenden.
page-refused-gone = Das gibt es nicht mehr.

page-no-week = Es gibt noch keine Woche.
page-make-week = Eine Woche machen

pages-catalogue = { $n ->
    [one] Eine Übung
   *[other] { $n } Übungen
}, nachzuschlagen nach Muster, nach Muskel, nach Gerät oder danach, was sie schonen.
pages-by-pattern = Nach Muster
pages-by-muscle = Nach direkt trainiertem Muskel
pages-by-kit = Nach Gerät
pages-by-limit = Nach dem, was sie schonen
pages-movements = { $n ->
    [one] eine Übung
   *[other] { $n } Übungen
}
pages-sparing = Schont: { $region }
pages-labelled = { $what }: { $text }
pages-share = Anteil
pages-in-catalogue = Was der Katalog dazu sagt
pages-bests = Bisher meiste Last für so viele Wiederholungen

pages-tally-note = Direkte Sätze stehen ganz; ein geteilter Satz zählt halb (Pelland et al. 2025). Der schraffierte Bereich ist der, für den das Programm gemacht wurde.
pages-tally = { $muscle }: { $direct } direkt, { $shared } geteilt; Bereich { $low } bis { $high } Sätze in der Woche.
pages-carries = Sie trägt das Programm.
pages-fills = Sie füllt, was die tragenden Übungen offen lassen.
pages-mark-keep = Sie bleibt; nur die Sicherheit darf sie ändern.
pages-mark-may-bend = Ein Ersatz desselben Musters darf einspringen.
pages-rest = Pause nach einem Satz: { $time }
pages-rest-note = Deine für diese Übung. Nie unter zwei Minuten nach einer schweren Grundübung, sonst unter einer Minute.
pages-rest-proposed = Wie vorgeschlagen
pages-rest-shorter = { $n } s weniger
pages-rest-longer = { $n } s mehr
pages-trains-direct = Direkt trainiert: { $muscles }.
pages-trains-shared = Geteilt: { $muscles }.

pages-settings = Einstellungen
pages-language = Sprache
pages-hand = Welche Hand tippt?
pages-hand-note = Was nebeneinander liegt, ordnet sich danach.
hand-right = Die rechte
hand-left = Die linke
pages-backup = Sicherung
pages-backup-none = Es gibt noch keinen Schlüssel. Mit einem entsteht an jedem Tag, an dem du das öffnest, eine versiegelte Kopie deiner Aufzeichnung.
pages-backup-made = Sicherungen sind für deinen Schlüssel versiegelt. Nur seine Wörter öffnen sie.
pages-make-key = Den Schlüssel machen
pages-make-another-key = Einen anderen Schlüssel machen
pages-backup-words = Schreib diese Wörter jetzt der Reihe nach auf. Sie werden einmal gezeigt und hier nirgends aufbewahrt. Ohne sie öffnet niemand eine Sicherung.
pages-record = Aufzeichnung
pages-record-yours = Die Aufzeichnung gehört dir. Sie verlässt dieses Gerät nur, wenn du sie weggibst.
pages-give-record = Die ganze Aufzeichnung ausgeben
pages-give-sets = Die Sätze als Tabelle ausgeben
pages-give-programme = Das Programm ausgeben
pages-take = Aus einer Datei
pages-take-what = Was eine Datei enthält, kommt zur Aufzeichnung hinzu; Einträge, die schon hier sind, bleiben, wie sie sind. Nach einem Programm wirst du erst gefragt.
pages-take-record = Eine Aufzeichnung einlesen
pages-take-sets = Sätze aus einer Tabelle einlesen
pages-take-programme = Ein Programm aus einer Datei übernehmen
pages-choose-folder = Den Ordner für die versiegelten Kopien wählen
pages-restore-head = Aus einer versiegelten Kopie
pages-restore-what = Eine versiegelte Kopie tritt an die Stelle der Aufzeichnung hier, sobald du die 24 Wörter ihres Schlüssels geschrieben hast. Die ersetzte Aufzeichnung wird beiseite gelegt.
pages-restore = Aus einer versiegelten Kopie wiederherstellen
pages-check = Jeden Eintrag prüfen
pages-checked = { $n ->
    [one] Ein Eintrag, in Ordnung.
   *[other] { $n } Einträge, alle in Ordnung.
}
head-against = Stand
