package plinth.companion

import kotlinx.serialization.json.jsonObject
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import java.nio.file.Files
import java.nio.file.Path
import kotlin.io.path.extension
import kotlin.io.path.name
import kotlin.io.path.readLines
import kotlinx.serialization.json.Json as Reader

class VectorsTest {
    @Test
    fun `every vector is rebuilt byte for byte from typed values`() {
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
                    assertEquals(line, vectors.line(call), "${file.name} line ${n + 1}")
                    checked++
                }
            }
        }
        assertTrue(checked >= 300, "$checked vectors are too few")
        val missing = Reachable.names() - json.seen - Reachable.elsewhere
        assertEquals(emptySet<String>(), missing, "these occur in no vector")
        println("conformance (Kotlin): $checked checked, 0 failed")
    }
}
