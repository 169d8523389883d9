### Der Schreibtisch: Entwürfe.

draft-begin = Einen Entwurf beginnen
draft-from = Woraus
draft-from-nothing = vernünftige Antworten, zum Ändern
draft-from-lifter = die Vorgaben von { $who }, mit den Bestwerten aus dem Protokoll
draft-from-about = Die Vorgaben einer Person gibt es hier, wo Protokoll und Beschwerden erlaubt sind. Was sie heute einschränkt, steht nicht darin: ihr Telefon weiß es und sagt, was es ändert.
draft-begin-do = Beginnen
draft-all = Entwürfe
draft-none = Noch gibt es keinen Entwurf.
draft-delete = { $title } löschen
draft-brief = Die Vorgaben
draft-becomes = Was daraus wird
draft-working = Wird gerechnet …
draft-done = Gerechnet.
draft-failed = Der Server hat nicht geantwortet. Die letzte gute Antwort bleibt; versuch es noch einmal.
draft-wrong = Noch nicht behalten, weil es nicht zu lesen ist. Daneben steht die letzte gute Antwort.
draft-before = Das gehört zu den Vorgaben, wie sie vorher waren.
draft-no-answer = Noch gibt es keine Antwort. Lass rechnen.
draft-solve = Rechnen

## Die Vorgaben

draft-days = Trainingstage pro Woche
draft-minutes = Minuten für jede Einheit
draft-minutes-note = Eine Zahl, oder eine für jeden Tag: 60, 45, 60
draft-weeks = Wochen des Blocks
draft-weekdays = Tage, die passen; keiner heißt jeder
draft-goal = Wozu, in Teilen
draft-goal-strength = Kraft
draft-goal-size = Muskelmasse
draft-goal-health = Gesundheit
draft-age-of-training = Erfahrung
draft-age-novice = unter etwa einem halben Jahr
draft-age-intermediate = ab etwa einem halben Jahr
draft-age-advanced = ab etwa drei Jahren
draft-years = Alter in Jahren, falls bekannt
draft-body-mass = Körpermasse, falls bekannt
draft-screening = Selbstauskunft
draft-screening-unanswered = offen: nur leichte bis mäßige Arbeit
draft-screening-answered-no-limit = beantwortet, ohne Grenze
draft-screening-answered-light-to-moderate = beantwortet, nur leichte bis mäßige Arbeit
draft-company = Begleitung
draft-is-alone = trainiert allein
draft-is-safeties = Ablagen am Rack
draft-is-in-turn = Sätze dürfen sich abwechseln
draft-wishes = Wünsche, der erste vor dem zweiten
draft-wishes-about = Eine Übung, die verlangt, gern gesehen, gemieden oder nie hereingeholt wird; wie oft pro Woche, falls mehr als einmal.
draft-wish-n = Wunsch { $n }
draft-wish-require = verlangt
draft-wish-prefer = gern gesehen
draft-wish-avoid = gemieden
draft-wish-forbid = nie
draft-wish-times = Mal pro Woche
draft-discomforts = Beschwerden
draft-discomforts-about = Sie erleichtern oder nehmen heraus, was eine Region belastet. Sie sind keine Diagnose; was neu oder schlimmer ist, gehört in zugelassene Behandlung.
draft-region-n = Region { $n }
draft-severity = Wie stark
draft-severity-mild = ein wenig
draft-severity-moderate = stört
draft-severity-severe = behindert
draft-nature = Ob es bekannt ist
draft-nature-usual = das Übliche
draft-nature-new-or-worse = neu oder schlimmer
draft-limits = Grenzen
draft-limits-about = Was Behandelnde, das Recht des Ortes oder die Vorsicht setzen.
draft-limit-stiff-ankles = steife Sprunggelenke
draft-limit-no-lying-on-back = kein Liegen auf dem Rücken
draft-limit-no-lying-on-front = kein Liegen auf dem Bauch
draft-limit-no-long-breath-hold = kein langes Luftanhalten
draft-limit-no-maximal-lifts = keine maximalen Versuche
draft-limit-minor = minderjährig
draft-kit = Geräte zur Hand ({ $n })
draft-priorities = Muskeln, die mehr bekommen sollen
draft-bests = Neuere Bestwerte ({ $n })
draft-best-load = Last
draft-best-reps = Wiederholungen
draft-best-reserve = übrig
draft-document = Die Vorgaben als Dokument
draft-document-about = Alles, auch was das Formular nicht fragt: Scheiben und Stangen, eigene Übungen, eigene Wochensätze, was das Programm trägt. Die Form: plinth schema brief.
draft-document-label = JSON
draft-document-take = Dieses Dokument nehmen

## Was daraus wird

draft-claim-held = Das Beste, das mit deinen Entscheidungen gefunden wurde.
draft-publish = Veröffentlichen
draft-day-minutes = etwa { $used } von { $of } Minuten
draft-day-empty = In diesen Tag passt nichts.
draft-decided = Was du entschieden hast
draft-not-held = Es lässt sich neben dem Rest nicht halten und fehlt in dieser Woche.
draft-let-go = Loslassen
draft-cue-is = Dein Hinweis: { $cue }
draft-decide = Über { $movement } entscheiden
draft-ask-price = Frag, was es kostet, bevor sich etwas ändert:
draft-more = { $n } Sätze, einer mehr
draft-fewer = { $n ->
    [one] ein Satz, einer weniger
   *[other] { $n } Sätze, einer weniger
}
draft-move = auf { $day }
draft-off-day = weg von diesem Tag
draft-off-week = aus der Woche
draft-mark = Was ein Telefon damit tun darf
draft-mark-keep = bleibt
draft-mark-may-bend = darf weichen
draft-mark-never = nie (aus der Woche, und nicht hereinholen)
draft-cue = Ein eigener Hinweis
draft-line-keep = Das behalten
draft-price = Was es kostet
draft-do = So machen
draft-leave = Lassen
draft-missing = Was nicht erfüllt werden konnte
draft-help = Ausrechnen, was helfen würde
draft-help-is = Was helfen würde
draft-muscle = Muskel
draft-strokes = Gegen seine Spanne
