package plinth.app.rest

import android.app.Service
import android.content.Context
import android.content.Intent
import android.content.pm.ServiceInfo
import android.os.Build
import android.os.IBinder
import plinth.app.PlinthApp

/** Keeps the process while a session is open, so that a rest's clock, its alarm and a headset's button are at hand. */
internal class SessionService : Service() {
    override fun onBind(intent: Intent?): IBinder? = null

    override fun onStartCommand(
        intent: Intent?,
        flags: Int,
        startId: Int,
    ): Int {
        val notice = (application as PlinthApp).phone.notices.underWay()
        if (Build.VERSION.SDK_INT >= Build.VERSION_CODES.UPSIDE_DOWN_CAKE) {
            startForeground(Notices.SESSION_ID, notice, ServiceInfo.FOREGROUND_SERVICE_TYPE_SPECIAL_USE)
        } else {
            startForeground(Notices.SESSION_ID, notice)
        }
        // The alarm is the system's own and does not need this service: it is not started again after a kill.
        return START_NOT_STICKY
    }

    companion object {
        /** Starts it, where the platform allows that now. */
        fun start(context: Context) {
            try {
                context.startForegroundService(Intent(context, SessionService::class.java))
            } catch (_: IllegalStateException) {
                // Not from the background: the alarm rings all the same.
            }
        }

        fun stop(context: Context) {
            context.stopService(Intent(context, SessionService::class.java))
        }
    }
}
