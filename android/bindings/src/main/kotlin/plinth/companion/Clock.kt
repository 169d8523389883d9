package plinth.companion

import plinth.core.Moment

/** What a platform knows of now: the wall clock, the zone, a clock that counts sleep, and the boot. */
fun interface Clock {
    fun now(): Moment
}
