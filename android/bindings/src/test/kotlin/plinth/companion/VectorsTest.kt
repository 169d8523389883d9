package plinth.companion

import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test

class VectorsTest {
    @Test
    fun `every vector is rebuilt byte for byte from typed values`() {
        val json = Json()
        val checked = Vectors.through(json) { kept, made, where -> assertEquals(kept, made, where) }
        assertTrue(checked >= 300, "$checked vectors are too few")
        val missing = Reachable.names() - json.seen - Reachable.elsewhere
        assertEquals(emptySet<String>(), missing, "these occur in no vector")
        println("conformance (Kotlin): $checked checked, 0 failed")
    }
}
