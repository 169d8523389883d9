package plinth.app.phone

import android.content.Context
import android.os.SystemClock
import android.provider.Settings
import plinth.companion.Clock
import plinth.core.ClockScreen
import plinth.core.Moment
import java.util.TimeZone

/** What this device knows of now: the wall clock and zone, the clock that counts sleep, and which start of the device. */
internal class Moments(
    context: Context,
) : Clock {
    private val resolver = context.applicationContext.contentResolver

    /** The wall clock, milliseconds since 1970; a test sets another. */
    var wall: () -> Long = System::currentTimeMillis

    /** Which start of the device this is; a name of its own where the platform does not count. */
    val boot: String
        get() = Settings.Global.getInt(resolver, Settings.Global.BOOT_COUNT, -1).let { if (it < 0) "unknown" else "boot-$it" }

    override fun now(): Moment {
        val ms = wall()
        return Moment(ms, TimeZone.getDefault().getOffset(ms) / MS_A_MINUTE, SystemClock.elapsedRealtime().toULong(), boot)
    }

    /** Milliseconds until the clock's end: by the clock that counts sleep, and after another start by the wall. */
    fun left(clock: ClockScreen): Long = left(clock.endsMonotonicMs, clock.endsWallMs, clock.boot)

    /** As the other one. */
    fun left(
        monotonicMs: ULong,
        wallMs: Long,
        ofBoot: String,
    ): Long = if (ofBoot == boot) monotonicMs.toLong() - SystemClock.elapsedRealtime() else wallMs - wall()

    /** Milliseconds from a moment until now, by the clock that counts sleep, and after another start by the wall. */
    fun since(moment: Moment): Long = -left(moment.monotonicMs, moment.wallMs, moment.boot)

    private companion object {
        const val MS_A_MINUTE = 60_000
    }
}
