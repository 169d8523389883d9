package plinth.app

import org.junit.Assert.assertEquals
import org.junit.Assert.assertNotNull
import org.junit.Assert.assertTrue
import org.junit.Assume
import org.junit.Test
import org.junit.runner.RunWith
import java.io.File
import java.util.concurrent.TimeUnit
import kotlin.io.path.createTempDirectory

/** A whole session by touches, from the first run to the close, with the process killed in the middle of a rest. */
@RunWith(RealRunner::class)
class WalkTest {
    /** The process that is killed: from the first run into a rest. Only [killed] lets it run. */
    @Test
    fun `until the process is killed`() {
        val folder = System.getProperty(FOLDER)
        Assume.assumeTrue("it runs in a process of its own", folder != null)
        val lifter = Lifter().opens()
        lifter.touches("Contents").touches("Week").touches("Make a week")
        lifter.touches("Contents").touches("Floor").begins()
        while (lifter.floor.stage == "lifting") lifter.doesASet()
        lifter.waits(5)
        val left =
            lifter.app.phone.moments
                .left(checkNotNull(lifter.floor.clock))
        val now =
            lifter.app.phone.moments
                .now()
        // What the disk holds is what a killed process leaves; nothing is closed.
        lifter.app.house.record.parentFile!!
            .copyRecursively(File(folder, "files"))
        File(
            folder,
            "told",
        ).writeText(listOf(lifter.floor.stage, lifter.floor.set?.sentence, left, now.wallMs, now.monotonicMs).joinToString("\n"))
        Runtime.getRuntime().halt(KILLED)
    }

    @Test
    fun `killed in a rest it comes back to the very screen, and the session goes on to its close`() {
        val folder =
            kotlin.io.path
                .createTempDirectory("walk")
                .toFile()
        killed(folder)
        val (stage, sentence, left, wall) = File(folder, "told").readLines()
        Lifter().use { lifter ->
            File(folder, "files").copyRecursively(lifter.app.house.record.parentFile!!, overwrite = true)
            // Seven seconds later; the device was not started again, but its clock that counts sleep is the test's.
            val begun =
                lifter.app.phone.moments
                    .wall()
            lifter.app.phone.moments.wall = { wall.toLong() + 7_000 + (android.os.SystemClock.elapsedRealtime() + Lifter.EVENING - begun) }
            android.provider.Settings.Global
                .putInt(lifter.app.contentResolver, android.provider.Settings.Global.BOOT_COUNT, 8)
            lifter.opens()
            assertEquals(stage, lifter.floor.stage)
            assertEquals(sentence, lifter.floor.set?.sentence)
            val now =
                lifter.app.phone.moments
                    .left(checkNotNull(lifter.floor.clock))
            assertTrue("$now ms are left of $left seven seconds before", now in left.toLong() - 7_500..left.toLong() - 6_500)
            var sets = 0
            while (lifter.floor.stage != "finished" && sets++ < 60) lifter.doesASet()
            assertTrue("it has an end", lifter.floor.stage == "finished")
            lifter.closes()
            assertEquals("ended", lifter.floor.stage)
            lifter.sees("sets done")
            lifter.touches("Contents").touches("Findings")
            assertNotNull(lifter.page.blocks.firstOrNull())
        }
        folder.deleteRecursively()
    }

    /** Runs the other test in a process of its own, which ends as if it had been killed. */
    private fun killed(folder: File) {
        val options =
            java.lang.management.ManagementFactory
                .getRuntimeMXBean()
                .inputArguments
                .filterNot { "surefire" in it }
        val properties =
            System.getProperties().filterKeys {
                (it as String).let { k ->
                    k.startsWith("plinth.") ||
                        k.startsWith("robolectric.") ||
                        k.startsWith("jna.")
                }
            }
        val path = System.getProperty("surefire.test.class.path") ?: System.getProperty("java.class.path")
        val command =
            listOf(File(System.getProperty("java.home"), "bin/java").path) + options + properties.map { "-D${it.key}=${it.value}" } +
                listOf("-D$FOLDER=$folder", "-cp", path, "org.junit.runner.JUnitCore", WalkTest::class.java.name)
        val log = File(folder, "log")
        val process = ProcessBuilder(command).redirectErrorStream(true).redirectOutput(log).start()
        assertTrue("it came to the rest in time", process.waitFor(4, TimeUnit.MINUTES))
        assertEquals(log.readText().takeLast(2_000), KILLED, process.exitValue())
    }

    private companion object {
        const val FOLDER = "walk.folder"

        /** What a process that was sent SIGKILL is said to end with. */
        const val KILLED = 137
    }
}
