package plinth.app.rest

import android.app.AlarmManager
import android.app.PendingIntent
import android.content.Context
import android.content.Intent
import android.os.Build
import android.os.SystemClock
import plinth.app.phone.Moments
import plinth.app.phone.service
import plinth.core.Effect

/**
 * The alarm at the end of a rest. The system holds it, so that it rings though the process was killed; what it takes to
 * set it anew after the device was started again is kept beside it.
 */
internal class RestAlarm(
    private val context: Context,
    private val moments: Moments,
) {
    private val kept = context.getSharedPreferences("rest-alarm", Context.MODE_PRIVATE)
    private val alarms = context.service<AlarmManager>()

    /** Whether the platform lets it ring on the second. */
    val exact: Boolean
        get() = Build.VERSION.SDK_INT < Build.VERSION_CODES.S || alarms.canScheduleExactAlarms()

    /** Sets it, in place of an earlier one. */
    fun raise(effect: Effect.RaiseAlarm) {
        kept
            .edit()
            .putLong(MONOTONIC, effect.atMonotonicMs.toLong())
            .putLong(WALL, effect.atWallMs)
            .putString(BOOT, effect.boot)
            .putString(TEXT, effect.text)
            .commit()
        set(left() ?: return)
    }

    /** Takes it back. */
    fun cancel() {
        alarms.cancel(ring(context))
        kept.edit().clear().commit()
    }

    /** Sets it again: the device was started, its clock was changed, or exact alarms were allowed. */
    fun again() {
        val left = left() ?: return
        if (left > 0) {
            set(left)
        } else if (kept.getString(BOOT, null) != moments.boot) {
            cancel()
        }
    }

    /** What to say now that it rings; nothing where it was taken back, has rung, or is not due. It rings once. */
    fun due(): String? {
        val left = left() ?: return null
        if (left > EARLY) {
            set(left)
            return null
        }
        return kept.getString(TEXT, null).also { kept.edit().clear().commit() }
    }

    private fun left(): Long? {
        val boot = kept.getString(BOOT, null) ?: return null
        return moments.left(kept.getLong(MONOTONIC, 0).toULong(), kept.getLong(WALL, 0), boot)
    }

    private fun set(left: Long) {
        val at = SystemClock.elapsedRealtime() + left.coerceAtLeast(0)
        // Both ring while the device dozes; the second perhaps minutes late.
        if (exact) {
            alarms.setExactAndAllowWhileIdle(AlarmManager.ELAPSED_REALTIME_WAKEUP, at, ring(context))
        } else {
            alarms.setAndAllowWhileIdle(AlarmManager.ELAPSED_REALTIME_WAKEUP, at, ring(context))
        }
    }

    private companion object {
        const val MONOTONIC = "monotonic_ms"
        const val WALL = "wall_ms"
        const val BOOT = "boot"
        const val TEXT = "text"

        /** Milliseconds by which a timer may be early. */
        const val EARLY = 250

        fun ring(context: Context): PendingIntent =
            PendingIntent.getBroadcast(
                context,
                0,
                Intent(context, AlarmReceiver::class.java),
                PendingIntent.FLAG_UPDATE_CURRENT or PendingIntent.FLAG_IMMUTABLE,
            )
    }
}
