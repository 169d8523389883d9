package plinth.app.rest

import android.content.BroadcastReceiver
import android.content.Context
import android.content.Intent
import plinth.app.PlinthApp

/** A rest is over. */
internal class AlarmReceiver : BroadcastReceiver() {
    override fun onReceive(
        context: Context,
        intent: Intent,
    ) {
        val app = context.applicationContext as PlinthApp
        val text = app.phone.alarm.due() ?: return
        // The process lives until the sound is over.
        val pending = goAsync()
        if (!app.house.inFront) app.phone.notices.restOver(text)
        app.phone.chime.ring { pending?.finish() }
        app.house.tick()
    }
}

/** The device was started, its clock changed, the app replaced, or exact alarms allowed: the alarm is set anew. */
internal class BootReceiver : BroadcastReceiver() {
    override fun onReceive(
        context: Context,
        intent: Intent,
    ) {
        if (intent.action in ACTIONS) (context.applicationContext as PlinthApp).phone.alarm.again()
    }

    private companion object {
        val ACTIONS =
            setOf(
                Intent.ACTION_BOOT_COMPLETED,
                Intent.ACTION_MY_PACKAGE_REPLACED,
                Intent.ACTION_TIME_CHANGED,
                Intent.ACTION_TIMEZONE_CHANGED,
                "android.app.action.SCHEDULE_EXACT_ALARM_PERMISSION_STATE_CHANGED",
            )
    }
}
