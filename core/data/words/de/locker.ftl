### The pages of the locker that ask something: the brief, the screening, the profile, limits and kit.

## What is typed

typed-save = Merken
typed-note-date = Geschrieben als 3.5.2026 oder 2026-05-03.
typed-note-mass = Eine Zahl wie 72,5; eine Einheit darf folgen.
typed-unit = Einheit einer Masse, die ohne eine geschrieben ist
typed-empty = { $what }: nichts geschrieben; schreib etwas, oder lass es, wie es ist.
typed-long = { $what }: { $n } Zeichen sind zu viele; schreib höchstens { $most }.
typed-control = { $what }: darin sind Zeichen, die man nicht zeigen kann; schreib einfachen Text.
typed-date = { $what }: "{ $text }" ist kein Tag; schreib ihn als 3.5.2026 oder 2026-05-03.
typed-future = { $what }: { $date } liegt noch vor dir; schreib einen Tag bis heute.
typed-whole = { $what }: das geht nicht; schreib eine ganze Zahl von { $low } bis { $high }.
typed-mass = { $what }: "{ $text }" ist keine Masse; schreib eine Zahl wie 72,5 oder eine mit Einheit wie 160 lb.
typed-body-mass = { $what }: das geht nicht; schreib eine Masse von { $low } bis { $high } kg.
typed-telephone = { $what }: "{ $text }" ist keine Telefonnummer; schreib ihre Ziffern, etwa 112.
answer-yes = Ja
answer-no = Nein

## The brief

pages-brief = Woraus die Woche gemacht wird
brief-intro = Mit diesen Antworten kannst du anfangen. Ändere, was bei dir anders ist.
brief-change = Erst ändern, woraus sie gemacht wird
brief-days = Trainingstage in der Woche
brief-minutes = Minuten für eine Einheit
brief-minutes-each = Für jeden Tag: { $minutes }. Eine Wahl hier gilt für alle Tage.
brief-shorter = { $n } min weniger
brief-longer = { $n } min mehr
brief-place = Womit kannst du trainieren?
brief-place-note = Nimm das Nächstliegende; Stücke, Scheiben und Stufen berichtigst du bei den Geräten deiner Orte.
brief-goal = Wofür ist es?
brief-goal-balanced = Von allem etwas
brief-goal-strength = Vor allem Kraft
brief-goal-size = Vor allem Muskelmasse
brief-goal-health = Vor allem Gesundheit
brief-experience = Wie lange trainierst du regelmäßig?
brief-experience-novice = Kürzer als ein halbes Jahr
brief-experience-intermediate = Ein halbes Jahr oder länger
brief-experience-advanced = Drei Jahre oder länger
brief-alone-note = Allein und ohne Ablagen wird keine Langhantel über der Brust geplant.
brief-make-next = Die nächste Woche machen
brief-from-today = Die neue Woche beginnt heute. Was du jetzt verfolgst, endet mit gestern und bleibt in der Aufzeichnung.
body-mass = Körpermasse, wenn du magst

begin-place-nothing = Nur der Boden
begin-place-dumbbells = Kurzhanteln zu Hause
begin-place-home-barbell = Langhantel zu Hause
begin-place-small-gym = Kleines Studio
begin-place-large-gym = Großes Studio
begin-place-gym-in-pounds = Studio in Pfund
