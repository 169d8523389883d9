### Der Plan: Programm, Hinweise, Gründe, Anpassung, eine laufende Einheit.

## Zählwörter

times = { $n }-mal
points = { $n ->
    [one] { $n } Punkt
   *[other] { $n } Punkte
}
others = { $n ->
    [one] { $n } weiterer
   *[other] { $n } weitere
}
muscle-sets = { $muscle } ({ $sets })
# Was der Katalog nur auf Englisch hat.
untranslated = „{ $text }“ (englisch)

## Das Programm

claim-best = Bewiesen: Mit diesen Wünschen und Grenzen ist keine Woche besser.
claim-within = Bewiesen: höchstens { $percent } % unter der bestmöglichen Woche.
claim-no-single-change = Keine einzelne Änderung macht diese Woche besser.
claim-unfinished = Die beste bisher gefundene Woche; die Suche wurde vorzeitig beendet.
prescription-repetitions = { $sets } x { $low }-{ $high }, { $reserve } übrig
prescription-hold = { $sets } x { $low }-{ $high } s, vor dem Einbrechen aufhören
prescription-carry = { $sets } x { $low }-{ $high } m, vor dem Einbrechen aufhören

## Grundgruppen als Subjekt

group-knee = Kniebeugen und Ausfallschritte
group-hinge = Hüftbeugen
group-horizontal-press = Drückübungen nach vorn
group-vertical-press = Drückübungen über Kopf
group-horizontal-pull = Ruderübungen
group-vertical-pull = Zugübungen von oben

## Was an den Angaben auffällt

notice-required-and-forbidden = { $movement } ist zugleich gewünscht und ausgeschlossen: Der Ausschluss gilt.
notice-more-than-days = { $movement }: { $asked } Einheiten gewünscht, { $possible } möglich, denn die Woche hat nicht mehr Trainingstage.
notice-more-than-week = { $movement }: { $asked } Einheiten gewünscht, { $possible } möglich, denn öfter wird die Übung in einer Woche nicht gemacht.
notice-target-order = { $muscle }: Die gewünschten Wochensätze stehen in falscher Reihenfolge (Minimum, Ziel, Maximum); für die kleineren gilt die größere Zahl.
notice-every-muscle-first = Alle Muskeln haben Vorrang, also keiner.
notice-time = Einheit { $day }: Die Minuten reichen zum Aufwärmen, aber für keine Übung; ab { $minutes } Minuten passt eine hinein.
notice-carrying = { $movement } kann das Programm nicht tragen: Sicherheit, Ausrüstung oder ein Wunsch schließt die Übung aus.
notice-care-first = Vieles schmerzt stark. Geh zuerst zu medizinischen Fachleuten; der Plan belastet nur, was übrig bleibt, und nichts hier besagt, dass Training jetzt richtig für dich ist.
notice-nothing-left = Es bleibt fast keine Übung übrig. Lass ein ausgeschlossenes Muster oder eine Übung wieder zu oder nenne mehr Ausrüstung; die Grenzen der Sicherheit bleiben.
notice-light = Nur leichte bis mittlere Arbeit: Die Selbstauskunft ist noch offen oder verlangt es.
notice-group-by-choice = { $group }: nach deiner Wahl bleibt nichts Machbares.
notice-group-by-limits = { $group }: mit dieser Ausrüstung und diesen Grenzen bleibt nichts Machbares.
notice-muscle = { $muscle }: keine verbliebene Übung trainiert das.
notice-alone = { $movement } wird nicht angeboten, wenn du allein und ohne Sicherung trainierst: Bei einer misslungenen Wiederholung kannst du eingeklemmt werden. Die Form mit Kurzhanteln oder als Liegestütz wird angeboten.
notice-required-but-out = { $movement } ist verlangt, bleibt aber weg: { $barrier }.
notice-weekdays = { $days } Trainingstage sind gewünscht, aber nur { $named } Wochentage genannt; die übrigen sind so gewählt, dass Abstand bleibt.

## Was die Punkte einer Woche zählen: etwas, wovon es mehr gibt

term-exposure-missing = fehlende gewünschte Einheiten einer Übung
term-group-missing = ein zu selten geübtes Grundmuster
term-below-minimum = Muskeln unter ihrem Wochenminimum
term-below-target = Muskeln unter ihrem Wochenziel
term-above-maximum = Muskeln über ihrem Wochenmaximum
term-day-missing = große Muskeln an zu wenigen Tagen
term-near-muscle = dieselben Muskeln binnen 48 Stunden
term-near-axial = Last auf der Wirbelsäule binnen 48 Stunden
term-near-heavy = schwere Kniebeugen und schweres Ziehen vom Boden an Nachbartagen
term-push-pull = Ungleichgewicht von Drücken und Ziehen
term-sets = ermüdende, ungeliebte oder unangenehme Sätze
term-sessions = Übungen, die weniger zum Ziel oder zu dir passen
term-distinct = mehr verschiedene Übungen
term-few-movements = Einheiten mit wenigen Übungen
term-no-carrying = Einheiten ohne eine Übung, die das Programm trägt
term-longest = eine längere längste Einheit
term-time = mehr Trainingszeit
term-points = { $term } ({ $points })

## Was eine Änderung wert ist

verdict-tie = gleichwertig: nach Punkten ebenso gut
verdict-worse = um { $points } schlechter
verdict-worse-by = um { $points } schlechter ({ $term }, { $by })
verdict-better = um { $points } besser
verdict-better-by = um { $points } besser (weniger davon: { $term }, { $by })
difference-more = mehr: { $muscles }
difference-less = weniger: { $muscles }
week-longer = die Woche wird { $time } länger
week-shorter = die Woche wird { $time } kürzer
line-gained = { $day } bekommt „{ $movement }“ ({ $sets })
line-lost = { $day } verliert „{ $movement }“
line-changed = { $day }: „{ $movement }“ von { $before } auf { $sets }

## Was im Weg steht

barrier-discomfort-mild = die leichten Beschwerden: { $region }
barrier-discomfort-moderate = die mittleren Beschwerden: { $region }
barrier-discomfort-severe = die starken Beschwerden: { $region }
barrier-new-discomfort = die neuen oder stärkeren Beschwerden ({ $region }): bleibt weg, bis sich Fachleute das angesehen haben
barrier-after-surgery = die Operation ({ $region }), deren schriftliche Grenzen noch nicht eingetragen sind
barrier-region-out = diese Stelle ({ $region }), die ausgespart bleibt, bis eine Rückkehr eingetragen ist
barrier-on-back = Rückenlage soll vermieden werden
barrier-on-front = Bauchlage soll vermieden werden
barrier-alone = eine Langhantel über der Brust wird niemandem angeboten, der allein und ohne Sicherung trainiert
barrier-kit = die vorhandene Ausrüstung
barrier-kit-missing = fehlende Ausrüstung: { $kit }
barrier-forbidden = von dir ausgeschlossen
barrier-skill = die Technik kommt später
barrier-dominated = „{ $movement }“ leistet dasselbe, ohne mehr zu kosten
barrier-time = die Minuten der Einheit
barrier-movements = die Zahl der Übungen in einer Einheit
barrier-single-joint = die Zahl der eingelenkigen Übungen in einer Einheit
barrier-single-joint-compounds = nicht mehr eingelenkige als mehrgelenkige Übungen in einer Einheit
barrier-single-joint-third = höchstens ein Drittel der Sätze einer Einheit für eingelenkige Übungen
barrier-trunk = die Zahl der Rumpf- und Trageübungen in einer Einheit
barrier-pattern = die Zahl der Übungen eines Musters in einer Einheit ({ $pattern })
barrier-axial-three = nur eine Übung je Einheit, die die Wirbelsäule am stärksten belastet
barrier-heavy-pair = keine schwere Kniebeuge und kein schweres Ziehen vom Boden in derselben Einheit
barrier-axial = die Last auf der Wirbelsäule in einer Einheit
barrier-fatigue = die Ermüdung einer Einheit
barrier-grip = die Beanspruchung des Griffs in einer Einheit
barrier-muscle = die Arbeit eines Muskels in einer Einheit ({ $muscle })
barrier-most-per-week = die Höchstzahl der Einheiten einer Übung in der Woche
barrier-most-per-week-of = „{ $movement }“ höchstens { $times } pro Woche
barrier-sets-range = „{ $movement }“ wird mit { $fewest } bis { $most } Sätzen gemacht
barrier-repeated = schon in dieser Einheit
barrier-not-there = nicht in dieser Einheit

## Was verlangt wird und was nachgeben könnte

demand-required = „{ $movement }“{ $details } verlangt
demand-asked = „{ $movement }“{ $details } gewünscht
demand-times = { $n }-mal pro Woche
demand-day = am { $day }
demand-sets = { $n ->
    [one] mit { $n } Satz
   *[other] mit { $n } Sätzen
}
demand-days = { $n ->
    [one] { $n } Trainingstag pro Woche
   *[other] { $n } Trainingstage pro Woche
}
demand-minutes = Einheiten von { $minutes } Minuten
demand-forbidden = „{ $what }“ ausgeschlossen
step-in-turn = Übungen im Wechsel machen
step-safeties = Sicherungen am Rack einstellen
step-more-minutes = { $n } Minuten mehr je Einheit
step-more-days = { $n ->
    [one] { $n } Trainingstag mehr pro Woche
   *[other] { $n } Trainingstage mehr pro Woche
}
step-fewer-times = „{ $movement }“ nur { $n }-mal pro Woche verlangen
step-let-go = auf „{ $movement }“ verzichten
step-stand-in = „{ $instead }“ statt „{ $movement }“ verlangen
step-kit = Ausrüstung dazu: { $kit }
step-allow = „{ $what }“ wieder zulassen

## Warum eine Zeile da ist

asked-carrying-named = soll nach deinem Wunsch das Programm tragen
asked-carrying-default = trägt mit dieser Ausrüstung üblicherweise das Programm
asked-required = war verlangt ({ $times } pro Woche)
asked-preferred = war bevorzugt ({ $times } pro Woche)
asked-priority = trainiert, was Vorrang hat: { $muscles }
line-asked = { $movement }: { $reasons }
without-movement = ohne „{ $movement }“
without-lost = ohne „{ $movement }“ verliert die Woche: { $muscles }
without-rises = sie hätte dann { $terms }
without-worse = insgesamt um { $points } schlechter
without-same = insgesamt ebenso gut
without-better = insgesamt um { $points } besser
held-up = darauf stützt sich der Rest der Einheit: { $barriers }
here-only-day = die Woche hat nur einen Trainingstag
here-every-day = die Übung kommt an jedem Trainingstag
here-no-other = kein anderer Tag lässt die Übung zu ({ $blocked })
here-other = der beste andere Tag ist { $day }: { $verdict }
here-exchanged = der beste andere Tag ist { $day }, im Tausch gegen „{ $movement }“: { $verdict }
blocked-day = { $day }: { $barriers }
displaced = das Nächstbeste an dieser Stelle: { $movements }
displaced-one = { $movement } ({ $sets }): { $verdict }

## Was an einem Tag mehr verhindert

stops-time = { $used } von { $available } belegt
stops-muscle = { $n ->
    [one] { $used } von { $n } Satz
   *[other] { $used } von { $n } Sätzen
}
stops-count = { $used } von { $available }
stops-barrier = { $barrier } ({ $numbers })
stops-none = keine Grenze ist ausgeschöpft
stops-full = ausgeschöpft: { $barriers }
stops-no-more = mehr passt nicht hinein
stops-next = als nächste beste Ergänzung passt „{ $movement }“ ({ $sets }): { $verdict }
stops-day = { $day }: { $full }; { $next }

## Was der Woche fehlt

short-minimum = { $muscle }: { $sets } pro Woche, unter dem Minimum von { $aim }
short-minimum-unavailable = { $muscle }: { $sets } pro Woche, unter dem Minimum von { $aim }; keine verbliebene Übung trainiert das
short-target = { $muscle }: { $sets } pro Woche, unter dem Ziel von { $aim }
short-target-unavailable = { $muscle }: { $sets } pro Woche, unter dem Ziel von { $aim }; keine verbliebene Übung trainiert das
short-days = { $n ->
    [one] { $muscle }: mindestens zwei Sätze an { $n } Tag, gewünscht an { $wanted }
   *[other] { $muscle }: mindestens zwei Sätze an { $n } Tagen, gewünscht an { $wanted }
}
short-group-by-choice = { $group } sind nach deiner Wahl nicht möglich
short-group-by-limits = { $group } sind mit dieser Ausrüstung und diesen Grenzen nicht möglich
short-group = { $group } kommen { $times } pro Woche, gewünscht { $wanted }
wish-avoid = { $movement }, zu vermeiden, kommt { $times } pro Woche
wish-require = { $movement }, verlangt, kommt { $times } statt { $asked } pro Woche
wish-prefer = { $movement }, bevorzugt, kommt { $times } statt { $asked } pro Woche
wish-carry = { $movement }, als tragende Übung, kommt { $times } statt { $asked } pro Woche
wish-out = { $what }: { $barrier }
wish-conflict = { $what }: nicht alles zugleich möglich: { $demands }
wish-outweighed = { $what }; einmal mehr hieße: { $difference }
wish-outweighed-avoid = { $what }; ganz ohne hieße: { $difference }
wish-open = { $what }; eine Woche damit wurde nicht gefunden, und bewiesen unmöglich ist sie nicht

## Was es brächte

remedy-wish = „{ $movement }“ { $after } statt { $before } pro Woche
remedy-group = { $group } { $after } statt { $before } pro Woche
remedy-gains = { $step }; das bringt: { $gains }
remedy-gains-losses = { $step }; das bringt: { $gains }; es kostet: { $losses }
remedy-lacking = insgesamt fehlen dann { $after } statt { $before }

## Der Preis einer Änderung

change-force-day = { $movement } am { $day }
change-force = { $movement } in der Woche
change-forbid = ohne „{ $movement }“
change-move = { $movement } von { $from } auf { $to }
change-sets = { $n ->
    [one] { $movement } mit { $n } Satz am { $day }
   *[other] { $movement } mit { $n } Sätzen am { $day }
}
price-priced = { $change }: { $difference }
price-already = { $change }: so ist es schon
price-not-offered = { $change }: wird nicht angeboten, { $barrier }
price-forbidden = { $change }: unmöglich, nicht alles zugleich möglich: { $demands }
price-not-found = { $change }: eine Woche damit wurde nicht gefunden, und bewiesen unmöglich ist sie nicht

## Was nicht zu haben ist

impossible-open = { $movement } kommt { $times } statt { $asked } pro Woche; eine Woche damit wurde nicht gefunden, und bewiesen unmöglich ist sie nicht
impossible-irreducible = { $movement } kommt { $times } statt { $asked } pro Woche: nicht alles zugleich möglich: { $demands }; fällt eines davon weg, geht der Rest
impossible-conflict = { $movement } kommt { $times } statt { $asked } pro Woche: nicht alles zugleich möglich: { $demands }
way-out = { $n ->
    [one] Ausweg: { $steps }; dann kommt „{ $movement }“ an { $n } Tag
   *[other] Ausweg: { $steps }; dann kommt „{ $movement }“ an { $n } Tagen
}
no-way-out = Es wurde kein Ausweg gefunden, bei dem die Gesundheit vorgeht.

## Ein veröffentlichtes Programm angepasst

adapt-day-left-out = Dieser Tag entfällt: { $because }.
adapt-weekday = { $to } statt { $from }: { $because }.
adapt-folded = { $movement } kommt stattdessen an Tag { $day }: { $because }.
adapt-left-out = { $movement } entfällt: { $because }.
adapt-left-out-keep = { $movement } entfällt trotz des Vermerks, dass die Übung bleiben soll: { $because }.
adapt-replaced = { $to } ersetzt „{ $from }“: { $because }; { $near }.
adapt-replaced-keep = { $to } ersetzt „{ $from }“ trotz des Vermerks, dass die Übung bleiben soll: { $because }; { $near }.
adapt-near-pattern = die Übung gehört zum selben Muster
adapt-near-left = das ist die nächste, die übrig bleibt
adapt-sets = { $to } statt { $from }: { $because }.
adapt-prescribed = { $to } statt { $from }: { $because }.
adapt-ramp = { $to } Aufwärmsätze statt { $from }: { $because }.
adapt-kept = { $movement } bleibt, obwohl du die Übung ausschließt: { $because }. Lass die Zeile weg oder bitte deinen Coach um einen anderen Vermerk.
adapt-done-repetitions = { $low }-{ $high } Wiederholungen, { $reserve } in Reserve, { $rest } s Pause
adapt-done-hold = { $low }-{ $high } s, { $reserve } in Reserve, { $rest } s Pause
adapt-done-carry = { $low }-{ $high } m, { $reserve } in Reserve, { $rest } s Pause

## Gründe, je ein Satz nach einem Doppelpunkt

reason-eased = die Sicherheit verlangt leichtere Arbeit oder längere Pausen
reason-kit = es fehlt Ausrüstung ({ $kit })
reason-forbidden = du schließt die Übung aus
reason-skill = die Technik kommt später
reason-minutes = mehr passt nicht in die { $minutes } Minuten
reason-too-often = die Übung wird höchstens { $most }-mal pro Woche gemacht
reason-fewer-days = das Programm hat { $published } Tage, und du trainierst an { $days }
reason-already-there = die Übung steht schon an diesem Tag
reason-weekdays = es passt zu deinen Wochentagen
reason-unknown = der Katalog auf diesem Gerät kennt die Übung nicht
reason-stand-in = so wird die Ersatzübung gemacht
reason-keep = der Coach hat vermerkt, dass die Übung bleiben soll
limit-time = mehr passt nicht in die Minuten
limit-axial = mehr würde die Wirbelsäule über deine Grenze für eine Einheit hinaus belasten
limit-heavy-pair = eine schwere Kniebeuge und ein schweres Ziehen vom Boden gehören nicht in dieselbe Einheit
limit-fatigue = mehr läge über deiner Ermüdungsgrenze für eine Einheit
limit-grip = mehr würde den Griff in einer Einheit überfordern
limit-muscle = mehr läge über der Obergrenze harter Sätze in einer Einheit ({ $muscle })
limit-other = es würde eine Grenze der Einheit verletzen

## Warum die Sicherheit eine Übung ausschließt, je ein Satz nach einem Doppelpunkt

refusal-discomfort = die Übung belastet diese Stelle zu stark für deine Beschwerden ({ $region })
refusal-new-discomfort = die Beschwerden sind neu oder stärker ({ $region }): Was diese Stelle belastet, wartet, bis sich Fachleute das angesehen haben
refusal-after-surgery = die Übung belastet die operierte Stelle ({ $region }), und die schriftlichen Grenzen der Chirurgie sind noch nicht eingetragen
refusal-region-out = die Übung belastet eine Stelle ({ $region }), die ausgespart bleibt, bis eine Rückkehr eingetragen ist
refusal-on-back = die Übung wird in Rückenlage gemacht, die deine Grenzen ausschließen
refusal-on-front = die Übung wird in Bauchlage gemacht, die deine Grenzen ausschließen
refusal-alone = allein und ohne Sicherung kannst du bei einer misslungenen Wiederholung unter der Stange eingeklemmt werden

## Eine laufende Einheit

session-protected = Aufwärmsätze und Pausen werden nie gekürzt. Stell die Sicherungen für Neues neu ein.
session-all-done = { $movement }: alle Sätze sind gemacht
session-no-stand-in = nichts, was jetzt passt, kann „{ $movement }“ ersetzen (noch { $sets }); weglassen ist auch eine Antwort
session-in-place = Anstelle von „{ $movement }“ (noch { $sets }):
session-left-out = { $movement } entfällt: { $why }
session-cut = { $movement }: { $sets } statt { $from }: { $why }
session-worth-less = so ist die Woche mehr wert
session-no-day = kein Tag der Woche ist mehr frei dafür
session-folded = { $n ->
    [one] { $movement }: { $n } Satz von { $planned } kommt auf { $day }
   *[other] { $movement }: { $n } Sätze von { $planned } kommen auf { $day }
}
session-time = { $time } Arbeit und Pause
session-time-best = { $time } Arbeit und Pause. Keine andere Auswahl dieser Zeilen ist besser
session-better = noch besser mit einer anderen Übung: { $movements }
session-brought = { $movement } ({ $sets })
session-dropped = { $movement } entfällt und wird nicht in die nächste Woche mitgenommen
session-on-day = { $day }: { $cut }
caution-of = { $movement }: { $caution }
caution-none = { $movement }: dafür sind keine Warnhinweise geschrieben; frag, wer die Übung hinzugefügt hat.

## How fast a repetition is done, as the coach says.
tempo = Tempo: { $parts }.
tempo-lower = { $n } s ablassen
tempo-turn = { $n } s an der Umkehr stillhalten
tempo-raise = { $n } s heben
