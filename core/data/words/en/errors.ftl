### What is refused, with field and remedy.

## A session under way

fault-session-day = day { $day }: the programme has { $days } days; count them from 0
fault-session-line = line { $line }: the day has { $lines } lines; count them from 0
fault-session-movement = { $id }: unknown movement; use an id of the catalogue
fault-session-kit = { $id }: unknown kit; use an id of the catalogue
fault-session-number = { $field }: { $given } is not possible; give { $low } to { $high }
fault-session-large = the catalogue has more muscles or patterns than a session can reckon with; leave some out

## A change whose price is asked

fault-change-movement = movement: "{ $id }" is unknown; { $remedy }
fault-change-day = { $field }: the week has { $days } days, counted from 0, and no day { $day }; give a smaller number
fault-change-sets = sets: { $sets } is below 0; give 0 to take the movement off the day

## Loads

fault-mass = mass `{ $text }`: { $problem }; write a number with a point and a unit, such as "137.5 kg" or "45 lb"
fault-load-missing = kit: there is no { $what } in this kit; add it to the kit or choose a movement that does without
fault-load-lightest = load: { $wanted } is less than the lightest that this kit can make, { $lightest }; choose a lighter bar, a dumbbell or another way in
fault-load-varied = load: { $wanted } cannot be worked out with so many different discs (certain up to { $certain }); leave discs that are never used out of the kit
fault-load-not-made = load { $number }: { $wanted } cannot be made exactly with this kit; make the load first, then ask for the route
fault-load-many = loads: { $given } loads in one route; at most { $most } fit, split the session by movement
fault-load-reps = reps: { $reps } is outside { $from } to { $to }, the range of { $what }; use a set within that range

## A document

more-faults = { $n ->
    [0] { $first }
    [one] { $first } (and one more fault)
   *[other] { $first } (and { $n } more faults)
}
fault-empty-document = the document cannot be read

## The command

failure-host = the host: { $why }
failure-output = the output could not be written: { $why }
failure-data = the built-in data are faulty: { $what }
