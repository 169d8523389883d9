package plinth.app

import android.content.pm.ApplicationInfo
import android.os.Looper
import kotlinx.coroutines.CoroutineDispatcher
import kotlinx.coroutines.Dispatchers
import org.junit.Assert.assertEquals
import org.junit.Assert.assertNotEquals
import org.junit.Assert.assertTrue
import org.junit.Test
import org.junit.runner.RunWith
import org.robolectric.Robolectric
import org.robolectric.Shadows.shadowOf
import org.robolectric.annotation.Config
import java.util.concurrent.CountDownLatch
import kotlin.coroutines.CoroutineContext

/** The app whose calls to the core wait until a test lets them go, on threads of their own. */
internal class WaitingApp : PlinthApp() {
    val go = CountDownLatch(1)
    val threads = mutableSetOf<Thread>()

    override fun begin() = Unit

    override fun dispatcher(): CoroutineDispatcher =
        object : CoroutineDispatcher() {
            override fun dispatch(
                context: CoroutineContext,
                block: Runnable,
            ) = Dispatchers.IO.dispatch(context) {
                go.await()
                synchronized(threads) { threads += Thread.currentThread() }
                block.run()
            }
        }
}

/** How the app comes up, and where its record lies. */
@RunWith(RealRunner::class)
class OpeningTest {
    @Test
    @Config(application = WaitingApp::class)
    fun `the first frame does not wait for the library, and no call to the core is on the main thread`() {
        val lifter = Lifter()
        val app = lifter.app as WaitingApp
        app.house.open()
        val window = Robolectric.buildActivity(MainActivity::class.java).setup()
        lifter.settle()
        assertEquals(Shown.Opening, app.house.shown.value)
        assertTrue("something is drawn", window.get().findViewById<android.view.View>(android.R.id.content)!!.width > 0)
        app.go.countDown()
        val until = System.nanoTime() + 30_000_000_000
        while (app.house.shown.value !is Shown.Here && System.nanoTime() < until) {
            Thread.sleep(20)
            shadowOf(Looper.getMainLooper()).idle()
        }
        assertTrue("${app.house.shown.value}", app.house.shown.value is Shown.Here)
        synchronized(app.threads) {
            assertTrue(app.threads.isNotEmpty())
            app.threads.forEach { assertNotEquals(Looper.getMainLooper().thread, it) }
        }
    }

    @Test
    fun `a record that cannot be opened is told with its remedy, and tried again`() {
        Lifter().use { lifter ->
            lifter.app.house.record
                .mkdirs()
            lifter.opens()
            assertTrue("${lifter.shown}", lifter.shown is Shown.Failed)
            lifter.sees("cannot be opened")
            lifter.app.house.record
                .delete()
            lifter.touches("Try again")
            assertTrue("${lifter.shown}", lifter.shown is Shown.Here)
        }
    }

    @Test
    fun `the record is not among what the platform copies elsewhere`() {
        Lifter().use { lifter ->
            assertEquals(lifter.app.noBackupFilesDir, lifter.app.house.record.parentFile)
            assertEquals(0, lifter.app.applicationInfo.flags and ApplicationInfo.FLAG_ALLOW_BACKUP)
        }
    }
}
