package plinth.app

import kotlinx.serialization.json.jsonObject
import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Test
import org.junit.runner.RunWith
import plinth.companion.Json
import plinth.companion.Vectors
import java.nio.file.Files
import java.nio.file.Path
import kotlin.io.path.extension
import kotlin.io.path.name
import kotlin.io.path.readLines
import kotlinx.serialization.json.Json as Reader

/** The vectors within the app's own process, as the platform's classes stand around it. */
@RunWith(RealRunner::class)
class ConformanceTest {
    @Test
    fun `every vector is rebuilt byte for byte`() {
        val json = Json()
        var checked = 0
        val files = Files.list(Path.of(System.getProperty("plinth.vectors"))).use { it.sorted().toList() }
        for (file in files.filter { it.extension == "jsonl" }) {
            Vectors(json).use { vectors ->
                file.readLines().forEachIndexed { n, line ->
                    val call =
                        Reader
                            .parseToJsonElement(line)
                            .jsonObject
                            .getValue("do")
                            .jsonObject
                    assertEquals("${file.name} line ${n + 1}", line, vectors.line(call))
                    checked++
                }
            }
        }
        assertTrue("$checked vectors are too few", checked >= 300)
        println("conformance (Android app): $checked checked, 0 failed")
    }
}
