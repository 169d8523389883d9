### Zahlen, Zeiten, Aufzählungen: was jeder Teil braucht.

list-two = { $first } und { $last }
list-join = { $first }, { $next }
list-or = { $first } oder { $last }

date = { $day }. { $month ->
    [1] Januar
    [2] Februar
    [3] März
    [4] April
    [5] Mai
    [6] Juni
    [7] Juli
    [8] August
    [9] September
    [10] Oktober
    [11] November
   *[12] Dezember
}
date-year = { $date } { $year }

weekday = { $day ->
    [1] Montag
    [2] Dienstag
    [3] Mittwoch
    [4] Donnerstag
    [5] Freitag
    [6] Samstag
   *[7] Sonntag
}
day-number = Tag { $n }

ordinal = { $n }.

seconds = { $n } s
minutes = { $n } min
hours = { $n } h
hours-minutes = { $hours } h { $minutes } min

sets = { $n ->
    [one] { $n } Satz
   *[other] { $n } Sätze
}
