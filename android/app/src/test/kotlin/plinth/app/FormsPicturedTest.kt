package plinth.app

import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Test
import plinth.core.FloorEvent
import java.io.File

/** No form of the floor is without a picture. */
class FormsPicturedTest {
    /** Every event of the floor, read from the generated bindings as they are. */
    private val events =
        FloorEvent::class.java.declaredClasses
            .filter { FloorEvent::class.java.isAssignableFrom(it) }
            .map { it.simpleName }
            .toSet()

    @Test
    fun `whatever can be touched on the floor stands on a picture`() {
        val told = (Forms.pictures.keys + Forms.ofTheShell).map { it.java.simpleName }.toSet()
        assertEquals("events without a picture, or pictures of none", events, told)
        assertTrue("${events.size} events were found", events.size > 50)
    }

    @Test
    fun `and the picture is there`() {
        val folder = File(System.getProperty("plinth.golden"))
        assertEquals(
            emptyList<String>(),
            Forms.pictures.values
                .distinct()
                .filterNot { File(folder, "$it.png").exists() },
        )
    }
}
