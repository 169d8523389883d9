### Was das Protokoll ergibt.

## Warum eine Last vorgeschlagen wird. $load ist die letzte, $day ihr Tag.
next-away = { $days ->
    [one] Ein Tag
   *[other] { $days } Tage
} seit { $load } am { $day }: { $percent } % weniger zum Wiederbeginn.
next-deload-plan = Eine leichtere Woche nach Plan; zuletzt { $load } am { $day }.
next-deload-tired = Eine leichtere Einheit: { $sessions ->
    [one] eine Einheit hast
   *[other] { $sessions } Einheiten nacheinander hast
} du müde begonnen. Zuletzt { $load } am { $day }.
next-deload-reset = Eine leichtere Einheit: { $days ->
    [one] einen Tag
   *[other] { $days } Tage
} nach dem Senken der Last fehlten wieder Wiederholungen. Zuletzt { $load } am { $day }.
next-reset = Zweimal zu wenig ({ $older }, dann { $newer } { $newer ->
    [one] Wiederholung
   *[other] Wiederholungen
}) mit { $load }: { $percent } % weniger.
next-below-once = Noch einmal dasselbe: { $fewest } { $fewest ->
    [one] Wiederholung
   *[other] Wiederholungen
} mit { $load } am { $day } lagen unter dem Bereich.
next-over-twice = { $over ->
    [one] Eine Wiederholung
   *[other] { $over } Wiederholungen
} über dem Bereich in zwei Einheiten nacheinander mit { $load }: mehr Last.
next-top = Jeder Satz erreichte mit { $load } am { $day } das obere Ende des Bereichs: mehr Last.
next-top-twice = Zwei Einheiten am oberen Ende des Bereichs mit { $load }: mehr Last.
next-reserve-above = Mit { $load } am { $day } { $by ->
    [one] blieb eine Wiederholung mehr
   *[other] blieben { $by } Wiederholungen mehr
} übrig als gewünscht: mehr Last.
next-reserve-below = Mit { $load } am { $day } { $by ->
    [one] blieb eine Wiederholung weniger
   *[other] blieben { $by } Wiederholungen weniger
} übrig als gewünscht: weniger Last.
next-more = Eine Wiederholung mehr mit { $load }, wie am { $day }.
next-held-step = Die nächste mögliche Last, { $next }, wäre { $percent } % mehr: erst mehr Wiederholungen.
next-held-top = Schwerer geht es mit dem Gerät hier nicht.
next-held-lightest = Leichter geht es mit dem Gerät hier nicht: weniger Wiederholungen.
next-held-lacks = Das Gerät von heute ergibt { $wanted } nicht.
next-held-no-rise = Deine Grenzen lassen jetzt keine Steigerung zu.
next-held-beginner = Eine erste Steigerung ist höchstens { $step }.

## Die Seite

find-head = Was das Protokoll ergibt, { $day }
find-nothing = Noch ist nichts protokolliert: die Befunde beginnen mit dem ersten Satz.
find-silent = Plateaus, Einheiten und Punkte werden in der Schwangerschaft und nach einer Geburt nicht genannt.
find-hidden = In den Lasten steckt das Körpergewicht, das nicht gezeigt wird: Maximum und Bestleistungen auch nicht.
find-holds-body = In Maximum und Bestleistungen steckt das Körpergewicht, im Vorschlag nicht.
find-load-added = Körpergewicht und { $load }
find-between = { $low } bis { $high }
find-chance = { $n } von { $of }
find-chance-more = mehr als 9 von 10
find-chance-less = weniger als 1 von 10

## Das geschätzte Maximum. Massen stehen mit ihrer Einheit.

find-maximum = Maximum für eine Wiederholung: etwa { $middle }; acht von zehn Mal zwischen { $low } und { $high }. Eine Schätzung, keine Last zum Probieren.
find-maximum-partly = Maximum für eine Wiederholung: etwa { $middle }; acht von zehn Mal zwischen { $low } und { $high }. An manchen Tagen fehlt die Reserve, darum ist der Bereich breiter. Eine Schätzung, keine Last zum Probieren.
find-maximum-unsaid = Maximum für eine Wiederholung: mindestens etwa { $low }, vielleicht bis { $high }. Die Reserve hast du nicht genannt: nennst du sie, wird der Bereich enger. Eine Schätzung, keine Last zum Probieren.
find-maximum-basis = { $n ->
    [one] Aus einem Satz
   *[other] Aus dem ersten schwersten Satz von { $n } Tagen
}, zuletzt { $load } für { $reps } { $reps ->
    [one] Wiederholung
   *[other] Wiederholungen
} mit { $left } übrig am { $day }.
find-maximum-basis-unsaid = { $n ->
    [one] Aus einem Satz
   *[other] Aus dem ersten schwersten Satz von { $n } Tagen
}, zuletzt { $load } für { $reps } { $reps ->
    [one] Wiederholung
   *[other] Wiederholungen
}, ohne genannte Reserve, am { $day }.
find-maximum-equations = { $n ->
    [one] Die eine veröffentlichte Formel, in deren Bereich dieser Satz liegt, sagt { $low }.
   *[other] Die { $n } veröffentlichten Formeln, in deren Bereich dieser Satz liegt, sagen { $low } bis { $high }.
}
find-maximum-sources = In den Bereichen der Maxima steckt, wie die Formeln auseinandergehen, wie Menschen sich unterscheiden (Nuzzo et al. 2024), wie die Reserve verschätzt wird (Halperin et al. 2022, Hackett et al. 2017) und wie die Tage streuen (Grgic et al. 2020).
find-needs-set = Kein Maximum zu nennen: kein Arbeitssatz mit Wiederholungen { $days ->
    [one] am letzten Tag
   *[other] in den letzten { $days } Tagen
}. Es braucht Sätze an zwei Tagen.
find-needs-load = Kein Maximum zu nennen: die Lasten haben keine Zahl. Es braucht eine Last in Kilogramm oder Pfund oder das Körpergewicht aus dieser Zeit.
find-needs-near = Kein Maximum zu nennen: die Sätze liegen zu weit unter dem, was du könntest. Es braucht Sätze mit höchstens { $reps } Wiederholungen, die übrigen mitgezählt, und höchstens { $reserve } übrig.
find-needs-days = Noch kein Maximum zu nennen: { $have ->
    [one] ein Tag
   *[other] { $have } Tage
} von { $need }, die es braucht, innerhalb von vier Wochen.
find-needs-narrow = Noch kein Maximum zu nennen: der Bereich ist zu breit, um zu nützen. Sätze mit weniger Wiederholungen und genannter Reserve machen ihn enger.
find-needs-tables = Kein Maximum zu nennen: die eingebauten Tabellen sind beschädigt. Installiere Plinth neu.

## Bestleistungen

find-best = Am meisten bisher für { $reps ->
    [one] eine Wiederholung
   *[other] { $reps } Wiederholungen
}: { $load }; davor { $before } am { $day }.
find-best-first = Am meisten bisher für { $reps ->
    [one] eine Wiederholung
   *[other] { $reps } Wiederholungen
}: { $load }; so viele waren es davor nie.

## Zuwachs und Plateau

find-gaining = Es geht aufwärts: { $chance } dafür, dass der Zuwachs in { $weeks } Wochen unter { $percent } % liegt; gelesen aus { $days } Tagen.
find-plateau = Ein Plateau: { $chance } dafür, dass der Zuwachs in { $weeks } Wochen unter { $percent } % liegt; gelesen aus { $days } Tagen.
find-cannot-tell = Zuwachs oder Plateau ist noch nicht zu sagen: { $chance } dafür, dass der Zuwachs in { $weeks } Wochen unter { $percent } % liegt; gelesen aus { $days } Tagen. Ein Plateau wäre nach { $needed ->
    [one] einer weiteren Woche
   *[other] { $needed } weiteren Wochen
} solchen Trainings zu nennen.
find-cannot-tell-long = Zuwachs oder Plateau ist nicht zu sagen: { $chance } dafür, dass der Zuwachs in { $weeks } Wochen unter { $percent } % liegt; gelesen aus { $days } Tagen. So bräuchte es mehr als ein halbes Jahr.
find-too-few = Zuwachs oder Plateau ist noch nicht zu sagen: { $have ->
    [one] ein Tag
   *[other] { $have } Tage
} von { $need }, die es seit der letzten Unterbrechung braucht, und mindestens { $needed ->
    [one] eine Woche
   *[other] { $needed } Wochen
} mehr.
find-trend = Die mittlere Steigung der letzten zwölf Wochen ist { $slope } % pro Woche, 19 von 20 Mal zwischen { $low } und { $high } (Theil-Sen); Entlastung, Krankheit und Schwangerschaft bleiben außen vor.

## Seiten

find-sides-few = Links und rechts sind noch nicht zu vergleichen: { $have ->
    [one] ein Tag
   *[other] { $have } Tage
} von { $need }, an denen beide arbeiteten und die Reserve genannt war.
find-sides-alike = Links und rechts: kein Unterschied über das hinaus, was das Messen macht ({ $percent } %, innerhalb von { $within } %; { $days } Tage; { $formula }).
find-sides-left = Links war mehr: { $percent } %, wo das Messen { $within } % macht ({ $days } Tage; { $formula }). Nur deswegen ist nichts zu tun.
find-sides-right = Rechts war mehr: { $percent } %, wo das Messen { $within } % macht ({ $days } Tage; { $formula }). Nur deswegen ist nichts zu tun.

## Nächste Lasten und Pausen

find-next = Als Nächstes: { $load } für { $reps } { $reps ->
    [one] Wiederholung
   *[other] Wiederholungen
}, { $reserve } übrig.
find-next-half = Als Nächstes: { $load } für { $reps } { $reps ->
    [one] Wiederholung
   *[other] Wiederholungen
}, { $reserve } übrig, die Hälfte der Sätze.
find-next-acsm = Die Regel der nächsten Last: ACSM 2009, 2 bis 10 % mehr nach Wiederholungen über dem Ziel in zwei Einheiten.
find-next-helms = Die Regel der nächsten Last: etwa 4 % für jede Wiederholung Reserve (Helms et al. 2018, aus dem Gedächtnis).
find-next-common = Die Regel der nächsten Last: übliche Praxis, keine Quelle.
find-rest = Pause: { $rest } erhält deine Wiederholungen mit einer Aussicht von { $chance } (aus { $n } Satzpaaren).
find-rest-floor = Pause: { $rest }, das Mindeste für eine so schwere Übung; sie erhält deine Wiederholungen mit einer Aussicht von { $chance } (aus { $n } Satzpaaren).

## Wochensätze

find-week-so-far = Sätze dieser Woche bisher (ab { $day })
find-week = Sätze in der Woche ab { $day }
find-week-below = { $sets } darunter
find-week-above = { $sets } darüber
find-week-note = Harte Sätze: vier oder weniger Wiederholungen übrig, oder nicht genannt. Ein geteilter Satz zählt halb (Pelland et al. 2025), ein Satz einer Seite ist ein halber. Das Ziel ist das des Programms.
find-week-easy = Arbeitssätze, die nicht hart waren, zählen nicht.
find-week-unknown = { $n ->
    [one] Ein harter Satz gehört
   *[other] { $n } harte Sätze gehören
} zu Übungen, die der Katalog nicht kennt; ihre Muskeln sind nicht zu nennen.

## Einheiten. Was still ist, zählt nicht als ausgefallen.

find-sessions = { $done } von { $n ->
    [one] einer Einheit
   *[other] { $n } Einheiten
} gemacht.
find-sessions-unheard = { $done } von { $n ->
    [one] einer Einheit
   *[other] { $n } Einheiten
} gemacht; von { $unheard } ist nichts bekannt.
find-sessions-off = { $n } abgesagt.
find-sessions-nothing = { $n } ohne Eintrag.
find-sessions-beside = { $n } neben dem Plan.
find-sessions-to-come = { $n } noch vor dir.

## Körpergewicht

find-body = { $mass } am { $day }.
find-body-few = { $n ->
    [one] Eine Messung
   *[other] { $n } Messungen
} in acht Wochen; ein Verlauf braucht vier.
find-body-trend = { $slope } kg pro Woche, 19 von 20 Mal zwischen { $low } und { $high } (Theil-Sen, { $n } Messungen).

## Veröffentlichte Punkte

find-score-cycle = { $name }, Zyklus { $cycle }
find-lift-single = { $movement }: { $load }, einmal gehoben am { $day }.
find-lift-estimate = { $movement }: etwa { $load }, eine Schätzung zwischen { $low } und { $high }.
find-score-basis = Körpergewicht { $body }; klassische Ausrüstung ist angenommen, weil kein Protokoll etwas anderes sagt. Der Bereich ist der aller unteren und aller oberen Enden zusammen, breiter als acht von zehn Mal.
find-score-meaning = Punkte vergleichen Summen; über Gesundheit sagen sie nichts.

## Der Befehl und seine Bilder

head-day = Tag
head-best = am meisten
head-muscle = Muskel
head-before = Wochen davor
head-score = Punkte nach
head-between = Bereich
head-read-in = gelesen in
find-page-sessions = Einheiten
find-page-body = Körpergewicht
find-page-scores = Veröffentlichte Punkte
find-page-foot = Kein medizinischer Rat. Lasten sind Angebote: deine Grenzen und wer am Ort die Aufsicht hat, gehen vor.
find-charts = { $n ->
    [one] Ein Bild wurde nach { $folder } geschrieben.
   *[other] { $n } Bilder wurden nach { $folder } geschrieben.
}
chart-maximum = { $movement }: geschätztes Maximum
chart-maximum-about = Schraffiert: wo die Schätzung acht von zehn Mal liegt. Die Linie ist ihre Mitte. Marken: eine für jeden Tag, aus seinen Sätzen allein mit dem Mittel aller Menschen gelesen.
chart-now = jetzt etwa { $mass }
chart-curve = { $movement }: das Meiste je Wiederholungszahl
chart-curve-about = Jede Marke ist ein Satz, den kein anderer in Last und Wiederholungen übertrifft.
chart-best = { $load } x { $reps }
chart-reps = Wiederholungen
chart-week = Wochensätze, Woche ab { $day }
chart-week-about = Ein langer Strich ist ein direkter Satz, ein kurzer ein halber geteilter. Schraffiert: das Ziel des Programms.
chart-body = Körpergewicht
chart-body-about = Jede Marke ist eine Messung; die Linie ist die mittlere Steigung.
chart-kilograms = kg
