package plinth.app

import org.junit.Assert.assertEquals
import org.junit.Test
import plinth.boundary.PlinthException

/** How a fault is told: one way, whatever it came from. */
class WordingTest {
    @Test
    fun `problem and remedy are two sentences`() =
        assertEquals("The 24 words do not fit. Write them again.", sentences("the 24 words do not fit", "write them again"))

    @Test
    fun `what ends already, or begins large, is left as it is`() =
        assertEquals("Ölstand? \"A\" is no id.", sentences("ölstand?", "\"A\" is no id. "))

    @Test
    fun `a part that says nothing leaves no empty sentence`() {
        assertEquals("The server does not answer.", sentences("the server does not answer", " "))
        assertEquals("", sentences("", ""))
    }

    @Test
    fun `every kind of fault of the core is told alike`() {
        val (problem, remedy) = "the file is damaged" to "use a backup"
        val all =
            listOf(
                PlinthException.Input("c", "f", problem, remedy),
                PlinthException.Store("c", "f", problem, remedy),
                PlinthException.Defect("c", "f", problem, remedy),
            )
        assertEquals(setOf("The file is damaged. Use a backup."), all.map { sentences(it) }.toSet())
    }
}
