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
