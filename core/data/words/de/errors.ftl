### Was abgelehnt wird, mit Feld und Abhilfe.

## Eine laufende Einheit

fault-session-day = day { $day }: Das Programm hat { $days } Tage; zähl sie ab 0
fault-session-line = line { $line }: Der Tag hat { $lines } Zeilen; zähl sie ab 0
fault-session-movement = { $id }: unbekannte Übung; nimm eine Kennung aus dem Katalog
fault-session-kit = { $id }: unbekannte Ausrüstung; nimm eine Kennung aus dem Katalog
fault-session-number = { $field }: { $given } ist nicht möglich; gib { $low } bis { $high } an
fault-session-large = Der Katalog hat mehr Muskeln oder Muster, als eine Einheit berücksichtigen kann; lass einige weg

## Eine Änderung, nach deren Preis gefragt wird

fault-change-movement = movement: „{ $id }“ ist unbekannt; { $remedy }
fault-change-day = { $field }: Die Woche hat { $days } Tage, ab 0 gezählt, und keinen Tag { $day }; gib eine kleinere Zahl an
fault-change-sets = sets: { $sets } ist kleiner als 0; gib 0 an, um die Übung von diesem Tag zu nehmen

## Lasten

fault-mass = mass „{ $text }“: { $problem }; schreib eine Zahl mit Punkt und eine Einheit, etwa „137.5 kg“ oder „45 lb“
fault-load-missing = kit: In dieser Ausrüstung fehlt: { $what }; füge es hinzu oder nimm eine Übung, die ohne auskommt
fault-load-lightest = load: { $wanted } ist weniger als das Leichteste, was diese Ausrüstung hergibt, { $lightest }; nimm eine leichtere Stange, eine Kurzhantel oder einen anderen Einstieg
fault-load-varied = load: { $wanted } lässt sich mit so vielen verschiedenen Scheiben nicht ausrechnen (gewiss bis { $certain }); lass nie benutzte Scheiben aus der Ausrüstung weg
fault-load-not-made = load { $number }: { $wanted } lässt sich mit dieser Ausrüstung nicht genau herstellen; stell zuerst die Last her und frag dann nach dem Weg
fault-load-many = loads: { $given } Lasten in einem Weg; höchstens { $most } passen, teil die Einheit nach Übungen
fault-load-reps = reps: { $reps } liegt außerhalb von { $from } bis { $to }, dem Bereich von { $what }; nimm einen Satz in diesem Bereich

## Ein Dokument

more-faults = { $n ->
    [0] { $first }
    [one] { $first } (und ein weiterer Fehler)
   *[other] { $first } (und { $n } weitere Fehler)
}
fault-empty-document = Das Dokument lässt sich nicht lesen

## Der Befehl

failure-host = der Server: { $why }
failure-output = Die Ausgabe ließ sich nicht schreiben: { $why }
failure-data = Die eingebauten Daten sind fehlerhaft: { $what }
