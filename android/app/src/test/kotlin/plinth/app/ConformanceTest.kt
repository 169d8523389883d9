package plinth.app

import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Test
import org.junit.runner.RunWith
import plinth.companion.Json
import plinth.companion.Vectors

/** The vectors within the app's own process, as the platform's classes stand around it. */
@RunWith(RealRunner::class)
class ConformanceTest {
    @Test
    fun `every vector is rebuilt byte for byte`() {
        val checked = Vectors.through(Json()) { kept, made, where -> assertEquals(where, kept, made) }
        assertTrue("$checked vectors are too few", checked >= 300)
        println("conformance (Android app): $checked checked, 0 failed")
    }
}
