package plinth.app.phone

import android.app.job.JobInfo
import android.app.job.JobParameters
import android.app.job.JobScheduler
import android.net.NetworkCapabilities
import android.os.Looper
import com.sun.net.httpserver.HttpExchange
import kotlinx.coroutines.runBlocking
import org.json.JSONArray
import org.json.JSONObject
import org.junit.After
import org.junit.Assert.assertEquals
import org.junit.Assert.assertFalse
import org.junit.Assert.assertNull
import org.junit.Assert.assertTrue
import org.junit.Test
import org.junit.runner.RunWith
import org.robolectric.Robolectric
import org.robolectric.RuntimeEnvironment
import org.robolectric.Shadows.shadowOf
import org.robolectric.annotation.Config
import org.robolectric.shadow.api.Shadow
import org.robolectric.shadows.ShadowJobService
import org.robolectric.util.ReflectionHelpers
import plinth.app.Lifter
import plinth.app.PlinthApp
import plinth.app.RealRunner
import plinth.app.Shown
import java.nio.file.Files
import java.util.concurrent.CountDownLatch
import java.util.concurrent.TimeUnit
import java.util.zip.GZIPInputStream
import kotlin.io.path.Path
import kotlin.io.path.readLines

/** Syncs with a server on this machine that answers as the vectors say, over the real library. */
@RunWith(RealRunner::class)
class SyncJobTest {
    private val platform = KeyStoreOfTests.install()
    private val app = RuntimeEnvironment.getApplication() as PlinthApp
    private val jobs = app.service<JobScheduler>()
    private val vectors = Path(System.getProperty("plinth.vectors"), "sync.jsonl").readLines().map { JSONObject(it).getJSONObject("do") }

    /** What the vectors' server answers to the three entries that their first record sends. */
    private val together = vectors.first { it.getString("call") == "sync_answer" }.getString("body").toByteArray()

    @After
    fun away() {
        runBlocking { app.house.ask { it.close() } }
        KeyStoreOfTests.remove()
    }

    private fun opens() {
        app.house.open()
        settles { app.house.shown.value is Shown.Here }
    }

    /** Imports what the vectors' first record holds; an import asks for a sync. */
    private fun imports() {
        val file = Files.createTempFile("record", ".json").toFile()
        file.writeText(vectors.first { it.getString("call") == "import" }.getString("document"))
        runBlocking { app.house.ask { it.import(file.path) }.getOrThrow() }
        shadowOf(Looper.getMainLooper()).idle()
        file.delete()
    }

    private fun pairs(
        server: ServerOfTests,
        fingerprint: String? = null,
    ) = assertTrue(app.syncing.pair(Pairing(server.address, fingerprint, "of-a-test")))

    /** What waits: never more than one. */
    private fun waiting(): JobInfo? = jobs.allPendingJobs.also { assertTrue("$it", it.size <= 1) }.firstOrNull()

    /** Waits until what happens elsewhere has happened. */
    private fun settles(until: () -> Boolean) {
        val last = System.nanoTime() + TimeUnit.SECONDS.toNanos(60)
        while (!until()) {
            assertTrue("it has no end: ${app.syncing.told.value}", System.nanoTime() < last)
            shadowOf(Looper.getMainLooper()).idle()
            Thread.sleep(5)
        }
    }

    private fun begins(id: Int): Pair<SyncJob, JobParameters> {
        jobs.cancel(id) // a job that has begun waits no more
        val parameters = Shadow.newInstanceOf(JobParameters::class.java)
        ReflectionHelpers.setField(parameters, "jobId", id)
        return Robolectric.buildService(SyncJob::class.java).create().get() to parameters
    }

    /** The platform begins what waits, and it runs to its end. */
    private fun runs(): String? {
        val (job, parameters) = begins(checkNotNull(waiting()).id)
        assertTrue(job.onStartJob(parameters))
        val shadow = Shadow.extract<ShadowJobService>(job)
        settles { shadow.isJobFinished }
        assertFalse("the wait is the core's, not the platform's", shadow.isRescheduleNeeded)
        job.onDestroy()
        return app.syncing.told.value
    }

    @Test
    fun `while nothing is paired nothing is asked of the platform`() {
        opens()
        imports()
        app.syncing.ask()
        app.syncing.metered = true
        assertNull(waiting())
        assertNull(app.syncing.told.value)
    }

    @Test
    fun `what the record has to send waits for a connection that costs nothing, over a restart too`() {
        ServerOfTests().use { server ->
            opens()
            pairs(server)
            jobs.cancelAll()
            imports()
            val job = checkNotNull(waiting())
            assertEquals(SyncJob::class.java.name, job.service.className)
            assertEquals(JobInfo.NETWORK_TYPE_UNMETERED, job.networkType)
            val request = checkNotNull(job.requiredNetwork)
            assertFalse("a basement has no internet", request.hasCapability(NetworkCapabilities.NET_CAPABILITY_INTERNET))
            assertFalse(request.hasCapability(NetworkCapabilities.NET_CAPABILITY_VALIDATED))
            assertTrue(job.isPersisted)
            assertFalse(job.isPeriodic)
            assertEquals(0L, job.minLatencyMillis)
            assertEquals(JobInfo.BACKOFF_POLICY_EXPONENTIAL, job.backoffPolicy)
            app.syncing.metered = true
            assertFalse(checkNotNull(checkNotNull(waiting()).requiredNetwork).hasCapability(NetworkCapabilities.NET_CAPABILITY_NOT_METERED))
            app.syncing.unpair()
            assertNull(waiting())
            assertEquals(Kept.Nothing, app.phone.vault.read())
        }
    }

    @Test
    @Config(sdk = [35], qualifiers = "+de")
    fun `the record and the server's are brought together, and the next time is set`() {
        ServerOfTests { it.answers(200, together) }.use { server ->
            opens()
            imports()
            pairs(server)
            val first = checkNotNull(waiting()).id
            assertTrue(checkNotNull(runs()).startsWith("Um "))
            val came = server.came.single()
            assertEquals("Bearer of-a-test", came.headers["authorization"])
            val body = if (came.headers["content-encoding"] == "gzip") GZIPInputStream(came.body.inputStream()).readBytes() else came.body
            assertEquals(3, JSONObject(body.decodeToString()).getJSONArray("push").length())
            val next = checkNotNull(waiting())
            assertEquals(Syncing.REGULAR_MS, next.minLatencyMillis)
            assertTrue("the platform would stop a job that sets its own id", next.id != first)
            app.syncing.ask()
            assertEquals("what is new does not wait for it", 0L, checkNotNull(waiting()).minLatencyMillis)
        }
    }

    @Test
    fun `the server's wait is respected, also by what asks meanwhile`() {
        ServerOfTests { it.answers(429, ByteArray(0), "Retry-After" to "90") }.use { server ->
            opens()
            pairs(server)
            assertEquals("The server was not reached, or is busy. Nothing is lost; it is tried again by itself.", runs())
            assertTrue(checkNotNull(waiting()).minLatencyMillis in 89_000L..90_000L)
            val now = System.currentTimeMillis()
            app.phone.moments.wall = { now + 30_000 }
            imports()
            assertTrue("${waiting()?.minLatencyMillis}", checkNotNull(waiting()).minLatencyMillis in 50_000L..60_000L)
            app.phone.moments.wall = { now - 1_000L * Syncing.LONGEST_MS }
            app.syncing.ask()
            assertEquals("a clock set back holds nothing up for ever", Syncing.LONGEST_MS, checkNotNull(waiting()).minLatencyMillis)
            app.phone.moments.wall = { now + 91_000 }
            app.syncing.ask()
            assertEquals(0L, checkNotNull(waiting()).minLatencyMillis)
        }
    }

    @Test
    fun `a server that is not reached is tried again, each time after a longer wait`() {
        val server = ServerOfTests()
        server.close()
        opens()
        pairs(server)
        val waits =
            (1..4).map {
                assertTrue(checkNotNull(runs()).startsWith("The server was not reached"))
                checkNotNull(waiting()).minLatencyMillis
            }
        // Between a half and the whole of 5 s, 10 s, 20 s, 40 s (docs/sync-protocol.md).
        waits.forEachIndexed { i, wait -> assertTrue("$waits", wait in (2_500L shl i)..(5_000L shl i)) }
    }

    @Test
    fun `what only the lifter can help with is said once and not tried by itself`() {
        val tooOld = "{\"code\":\"too_old\",\"field\":null,\"reason\":\"this program is too old\",\"remedy\":\"update it\"}"
        val answers =
            mapOf<Int, (HttpExchange) -> Unit>(
                403 to { it.answers(403) },
                426 to { it.answers(426, tooOld.toByteArray()) },
                302 to { it.answers(302, ByteArray(0), "Location" to "https://elsewhere.example") },
            )
        val said =
            mapOf(
                403 to "The server does not know this device any more. Part from the server, and pair with a new invitation.",
                426 to "This program is too old for the server. Update this program; everything stays on this device until then.",
                302 to "The server answered in a way that this program cannot read (status_302). " +
                    "Try again later; if it stays, tell the host which versions both sides have.",
            )
        opens()
        for ((status, answer) in answers) {
            ServerOfTests(answer = answer).use { server ->
                pairs(server)
                assertEquals(said[status], runs())
                assertNull(waiting())
            }
        }
    }

    @Test
    fun `another server than the paired one is said, and gets nothing`() {
        ServerOfTests(Certificate()).use { server ->
            opens()
            pairs(server, "ab".repeat(32))
            assertEquals(Trouble.NotThePaired.said(app), runs())
            assertTrue(server.came.isEmpty())
            assertTrue("it is tried again where the right one may answer", checkNotNull(waiting()).minLatencyMillis > 0)
        }
    }

    @Test
    fun `a pairing whose key is gone is said, and nothing is sent`() {
        ServerOfTests().use { server ->
            opens()
            pairs(server)
            platform.held.clear()
            assertTrue(checkNotNull(runs()).startsWith("This device is not paired any more"))
            assertNull(waiting())
            assertTrue(server.came.isEmpty())
        }
    }

    @Test
    fun `entries that the server does not take are counted`() {
        val answer = JSONObject(String(together))
        val refused = JSONObject("{\"at\":1,\"id\":\"$SECOND\",\"code\":\"field_type\",\"field\":null,\"reason\":\"r\",\"remedy\":\"r\"}")
        answer.put("took", JSONArray("[0,2]")).put("refused", JSONArray().put(refused))
        val later = JSONObject(answer.toString()).put("took", JSONArray()).put("refused", JSONArray())
        var first = true
        ServerOfTests {
            it.answers(200, (if (first) answer else later).toString().toByteArray())
            first = false
        }.use { server ->
            opens()
            imports()
            pairs(server)
            assertEquals("The server did not take 1 entry. It is kept here, with the reason.", runs())
        }
    }

    @Test
    fun `one at a time, and one that the platform stops is begun again by it`() {
        val asked = CountDownLatch(1)
        val over = CountDownLatch(1)
        ServerOfTests {
            asked.countDown()
            over.await()
        }.use { server ->
            opens()
            pairs(server)
            val (job, parameters) = begins(checkNotNull(waiting()).id)
            assertTrue(job.onStartJob(parameters))
            settles { asked.count == 0L }
            assertEquals("Bringing the record together with the server's.", app.syncing.told.value)
            val (other, itsParameters) = begins(SyncJob.IDS.first { it != parameters.jobId })
            assertFalse("two at once", other.onStartJob(itsParameters))
            assertFalse("it runs no more", other.onStopJob(itsParameters))
            app.syncing.ask()
            assertTrue("a job that sets its own id stops itself", checkNotNull(waiting()).id != parameters.jobId)
            assertTrue("it is begun again", job.onStopJob(parameters))
            settles { app.syncing.told.value == null }
            over.countDown()
            assertEquals(1, server.came.size)
            val (again, anew) = begins(parameters.jobId)
            assertTrue("after a stop it can begin", again.onStartJob(anew))
            again.onStopJob(anew)
            settles { app.syncing.told.value == null }
        }
    }

    @Test
    fun `what is said stands before the session`() {
        ServerOfTests { it.answers(403) }.use { server ->
            Lifter().use { lifter ->
                lifter.opensWithWeek()
                pairs(server)
                runs()
                lifter.settle()
                lifter.sees("pair with a new invitation")
            }
        }
    }

    private companion object {
        /** The second entry of the vectors' first record. */
        const val SECOND = "019c9d3a-5c00-7101-8101-000000000002"
    }
}
