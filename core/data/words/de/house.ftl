### Der Schreibtisch: das Haus.

desk-devices = Geräte
desk-devices-yours = Deine Geräte, dieser Browser darunter
desk-devices-none = Kein Gerät ist gekoppelt.
desk-device = Gerät
desk-device-program = Programm
desk-device-paired = Gekoppelt am
desk-device-heard = Zuletzt gehört
desk-device-now = Jetzt
desk-device-this = dieses hier
desk-device-revoked = gesperrt am { $day }
desk-device-revoke = { $name } sperren
desk-pair = Ein Gerät koppeln
desk-pair-own = Noch ein eigenes Gerät koppeln
desk-pair-about = Das koppelt ein Gerät mit dem Konto { $account }, einmal und binnen zehn Minuten. Wer es hat, kann koppeln: gib es von Hand zu Hand.
desk-pair-picture = Die Einladung für { $account }
desk-pair-line = Die Einladung als eine Zeile
desk-pair-address = Die Adresse, für einen Browser
desk-pair-back = Zurück zum Haus
desk-grants = Was dir erlaubt ist
desk-grants-about = Erlaubt, geändert und zurückgezogen wird auf dem Telefon; es gilt sofort.
desk-trail-head = Was mit diesem Konto geschah
desk-trail-none = Noch nichts.
desk-house-keeper = Konten, Sicherungen und Löschen liegen beim Betreiber dieses Servers, der ein eigenes Konto hat und niemandes Aufzeichnung sieht.

## Für den Betreiber

desk-keeper-about = Hier stehen die Konten dieses Hauses und was sie pflegt. Was eine Aufzeichnung enthält, steht hier nicht.
desk-account-new = Ein neues Konto, oder noch ein Gerät
desk-account-new-about = Ein Konto, das noch nicht da ist, wird angelegt. Seinen Namen schreibt man in eine Erlaubnis; kein anderes bekommt ihn je wieder.
desk-account-name = Konto: kleine Buchstaben, Ziffern und Bindestriche
desk-account-role = Rolle
desk-account-pair = Einladung ausstellen
desk-accounts = Konten
desk-accounts-more = Mehr Konten
desk-account = Konto
desk-role-lifter = trainiert
desk-role-coach = betreut
desk-role-host = betreibt das Haus
desk-backups = Sicherungen
desk-backups-nowhere = Dieser Server schreibt von sich aus keine Sicherungen. Beende ihn und starte ihn mit --backups und einem Ordner auf einer anderen Platte.
desk-backups-are = { $n ->
    [0] Noch gibt es keine Sicherung.
    [one] Eine Sicherung ist da, beim Anlegen ganz gelesen:
   *[other] { $n } Sicherungen sind da, jede beim Anlegen ganz gelesen:
}
desk-backup-now = Jetzt eine Sicherung anlegen
desk-restore-about = Zurückgespielt wird am Rechner selbst, nachdem dieser Server beendet ist; dann bietet jedes Gerät noch einmal an, was es hat, und was gesperrt, zurückgezogen oder gelöscht wurde, bleibt so:
desk-erase = Das Konto löschen
desk-erase-about = Es geht für immer, mit der ganzen Aufzeichnung hier. Die eigenen Geräte behalten ihre und können sie hier nicht mehr anbieten. Sicherungen enthalten es, bis sie ausgedünnt sind.
desk-erase-again = Schreib noch einmal { $account }
desk-erase-do = { $account } für immer löschen
