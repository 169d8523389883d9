package plinth.app.rest

import android.app.Notification
import android.app.NotificationChannel
import android.app.NotificationManager
import android.app.PendingIntent
import android.content.Context
import android.content.Intent
import plinth.app.MainActivity
import plinth.app.R
import plinth.app.phone.service

/** What stands among the platform's notices. A lock screen shows that a rest is over, and nothing else. */
internal class Notices(
    private val context: Context,
    private val words: () -> Context,
) {
    private val manager = context.service<NotificationManager>()

    /** Whether the platform shows them. */
    val allowed: Boolean get() = manager.areNotificationsEnabled()

    /** The rest is over. [text] is all that it says. The sound is the alarm's own. */
    fun restOver(text: String) {
        channels()
        val notice =
            Notification
                .Builder(context, REST)
                .setSmallIcon(R.drawable.notice)
                .setContentTitle(text)
                .setCategory(Notification.CATEGORY_ALARM)
                .setVisibility(Notification.VISIBILITY_PUBLIC)
                .setContentIntent(open())
                .setAutoCancel(true)
                .setOnlyAlertOnce(true)
                .build()
        manager.notify(REST_ID, notice)
    }

    /** Takes it away: the lifter is back. */
    fun clear() = manager.cancel(REST_ID)

    /** What a running session must show; hidden where the screen is locked. */
    fun underWay(): Notification {
        channels()
        return Notification
            .Builder(context, SESSION)
            .setSmallIcon(R.drawable.notice)
            .setContentTitle(words().getString(R.string.session_under_way))
            .setVisibility(Notification.VISIBILITY_SECRET)
            .setContentIntent(open())
            .setOngoing(true)
            .build()
    }

    private fun channels() {
        val rest = NotificationChannel(REST, words().getString(R.string.channel_rest), NotificationManager.IMPORTANCE_HIGH)
        rest.setSound(null, null)
        rest.enableVibration(false)
        rest.lockscreenVisibility = Notification.VISIBILITY_PUBLIC
        val session = NotificationChannel(SESSION, words().getString(R.string.channel_session), NotificationManager.IMPORTANCE_LOW)
        session.lockscreenVisibility = Notification.VISIBILITY_SECRET
        manager.createNotificationChannels(listOf(rest, session))
    }

    private fun open(): PendingIntent =
        PendingIntent.getActivity(context, 0, Intent(context, MainActivity::class.java), PendingIntent.FLAG_IMMUTABLE)

    companion object {
        const val REST = "rest"
        const val SESSION = "session"
        const val REST_ID = 1
        const val SESSION_ID = 2
    }
}
