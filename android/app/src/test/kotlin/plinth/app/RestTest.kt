package plinth.app

import android.app.AlarmManager
import android.app.Notification
import android.app.NotificationManager
import android.content.Intent
import android.media.AudioManager
import android.os.Vibrator
import android.provider.Settings
import org.junit.Assert.assertEquals
import org.junit.Assert.assertFalse
import org.junit.Assert.assertNotNull
import org.junit.Assert.assertNull
import org.junit.Assert.assertTrue
import org.junit.Test
import org.junit.runner.RunWith
import org.robolectric.Shadows.shadowOf
import org.robolectric.shadows.ShadowAlarmManager
import org.robolectric.shadows.ShadowSystemClock
import plinth.app.phone.service
import plinth.app.rest.AlarmReceiver
import plinth.app.rest.BootReceiver
import plinth.app.rest.Chime
import plinth.app.rest.Notices
import plinth.app.rest.SessionService
import java.time.Duration

/** The rest's clock and alarm: on time, once, and whatever happens to the process and the device. */
@RunWith(RealRunner::class)
class RestTest {
    private fun resting(run: Lifter.() -> Unit) =
        Lifter().use {
            it.opensWithWeek().begins().doesASet()
            assertEquals("resting", it.floor.stage)
            it.run()
        }

    private val Lifter.alarms get() = shadowOf(app.service<AlarmManager>())
    private val Lifter.alarm get() = alarms.scheduledAlarms.singleOrNull()
    private val Lifter.notices get() = shadowOf(app.service<NotificationManager>())
    private val Lifter.left get() = app.phone.moments.left(checkNotNull(floor.clock))

    /** What the system does when the alarm's time has come. */
    private fun Lifter.rings() {
        AlarmReceiver().onReceive(app, Intent(app, AlarmReceiver::class.java))
        settle()
    }

    @Test
    fun `the alarm is exact, also in doze, at the clock's end`() =
        resting {
            val alarm = checkNotNull(alarm)
            assertEquals(AlarmManager.ELAPSED_REALTIME_WAKEUP, alarm.type)
            assertTrue(alarm.isAllowWhileIdle)
            assertEquals(checkNotNull(floor.clock).endsMonotonicMs.toLong(), alarm.triggerAtMs)
        }

    @Test
    fun `it sounds and vibrates once, gives the audio back, and the next set comes up without a touch`() =
        resting {
            val vibrator = shadowOf(app.service<Vibrator>())
            ShadowSystemClock.advanceBy(Duration.ofMillis(left))
            rings()
            assertEquals("it vibrates once", Chime.RING_MS, vibrator.milliseconds)
            val audio = shadowOf(app.service<AudioManager>())
            val asked = checkNotNull(audio.lastAudioFocusRequest)
            assertEquals(AudioManager.AUDIOFOCUS_GAIN_TRANSIENT_MAY_DUCK, asked.durationHint)
            ShadowSystemClock.advanceBy(Duration.ofSeconds(1))
            settle()
            assertEquals("the audio is given back", asked.audioFocusRequest, audio.lastAbandonedAudioFocusRequest)
            assertEquals("lifting", floor.stage)
            assertNull("it has rung", app.phone.alarm.due())
        }

    @Test
    fun `behind a locked screen it says that the rest is over, and nothing else`() =
        resting {
            app.house.inFront = false
            ShadowSystemClock.advanceBy(Duration.ofMillis(left))
            rings()
            val notice = checkNotNull(notices.getNotification(Notices.REST_ID))
            assertEquals(Notification.VISIBILITY_PUBLIC, notice.visibility)
            assertEquals("rest over", notice.extras.getCharSequence(Notification.EXTRA_TITLE).toString())
            assertNull(notice.extras.getCharSequence(Notification.EXTRA_TEXT))
            val channel = app.service<NotificationManager>().getNotificationChannel(Notices.REST)
            assertFalse("the alarm sounds, not the notice", channel.shouldVibrate() || channel.sound != null)
            app.house.inFront = true
            assertNull("it goes when the lifter is back", notices.getNotification(Notices.REST_ID))
        }

    @Test
    fun `the session's own notice is hidden where the screen is locked`() =
        resting {
            assertEquals(
                Notification.VISIBILITY_SECRET,
                app.phone.notices
                    .underWay()
                    .visibility,
            )
            val started = checkNotNull(shadowOf(app).nextStartedService)
            assertEquals(SessionService::class.java.name, started.component?.className)
        }

    @Test
    fun `where exact alarms are refused it rings as well as it can, and that is said before a session`() {
        Lifter().use {
            ShadowAlarmManager.setCanScheduleExactAlarms(false)
            it.opensWithWeek()
            it.sees("may ring late")
            it.touches("Allow exact alarms")
            assertEquals(Settings.ACTION_REQUEST_SCHEDULE_EXACT_ALARM, shadowOf(it.activity).nextStartedActivity.action)
            it.begins().doesASet()
            assertEquals("resting", it.floor.stage)
            assertTrue(checkNotNull(it.alarm).isAllowWhileIdle)
            assertFalse("nothing stands over the clock", it.words.any { w -> "may ring late" in w })
        }
    }

    @Test
    fun `ready now takes the alarm back`() =
        resting {
            assertNotNull(alarm)
            touches("Ready now")
            assertNull(alarm)
            assertNull("it does not ring late", app.phone.alarm.due())
        }

    @Test
    fun `longer moves it`() =
        resting {
            val before = checkNotNull(alarm).triggerAtMs
            touches("Longer")
            assertEquals(before + 30_000, checkNotNull(alarm).triggerAtMs)
        }

    @Test
    fun `a changed clock does not move it`() =
        resting {
            val (before, at) = left to checkNotNull(alarm).triggerAtMs
            val wall = app.phone.moments.wall
            app.phone.moments.wall = { wall() + 3_600_000 }
            BootReceiver().onReceive(app, Intent(Intent.ACTION_TIME_CHANGED))
            assertEquals(before, left)
            assertEquals(at, checkNotNull(alarm).triggerAtMs)
        }

    @Test
    fun `after the device was started again it rings by the wall clock`() =
        resting {
            val wall = checkNotNull(floor.clock).endsWallMs
            alarms.scheduledAlarms.clear()
            Settings.Global.putInt(app.contentResolver, Settings.Global.BOOT_COUNT, 8)
            BootReceiver().onReceive(app, Intent(Intent.ACTION_BOOT_COMPLETED))
            val now = app.phone.moments.now()
            assertEquals(wall - now.wallMs, checkNotNull(alarm).triggerAtMs - now.monotonicMs.toLong())
            assertEquals("the clock shows the same", wall - now.wallMs, left)
        }

    @Test
    fun `a rest that ended while the device was off does not ring in the pocket`() =
        resting {
            alarms.scheduledAlarms.clear()
            Settings.Global.putInt(app.contentResolver, Settings.Global.BOOT_COUNT, 8)
            val wall = app.phone.moments.wall
            app.phone.moments.wall = { wall() + 3_600_000 }
            BootReceiver().onReceive(app, Intent(Intent.ACTION_BOOT_COMPLETED))
            assertNull(alarm)
            assertNull(app.phone.alarm.due())
        }

    @Test
    fun `a stranger's broadcast rings nothing`() =
        resting {
            val before = left
            AlarmReceiver().onReceive(app, Intent(app, AlarmReceiver::class.java))
            settle()
            assertEquals("resting", floor.stage)
            assertEquals(before, left)
            assertNotNull(alarm)
        }

    @Test
    fun `the display stays awake in a session and is let go after it`() =
        resting {
            assertTrue(app.house.awake.value)
            val wall = views().first { it.keepScreenOn }
            assertTrue(wall.isShown)
            closes()
            assertFalse(app.house.awake.value)
            assertTrue(views().none { it.keepScreenOn })
        }
}
