### Numbers, times, lists: what every part uses.

list-two = { $first } and { $last }
list-join = { $first }, { $next }
list-or = { $first } or { $last }

date = { $day } { $month ->
    [1] January
    [2] February
    [3] March
    [4] April
    [5] May
    [6] June
    [7] July
    [8] August
    [9] September
    [10] October
    [11] November
   *[12] December
}
date-year = { $date } { $year }

weekday = { $day ->
    [1] Monday
    [2] Tuesday
    [3] Wednesday
    [4] Thursday
    [5] Friday
    [6] Saturday
   *[7] Sunday
}
day-number = day { $n }

ordinal = { $n }{ NUMBER($n, type: "ordinal") ->
    [one] st
    [two] nd
    [few] rd
   *[other] th
}

seconds = { $n } s
minutes = { $n } min
hours = { $n } h
hours-minutes = { $hours } h { $minutes } min

sets = { $n ->
    [one] { $n } set
   *[other] { $n } sets
}
