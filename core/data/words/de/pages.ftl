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
