package plinth.companion

import plinth.boundary.FileForm
import plinth.boundary.LogLine
import plinth.boundary.Opening
import plinth.boundary.Outcome
import plinth.boundary.PlinthException
import plinth.boundary.SyncStep
import plinth.core.Event
import plinth.core.FindingsPage
import plinth.core.Language
import plinth.core.Moment
import plinth.core.Update
import kotlin.reflect.KClass
import kotlin.reflect.KType
import kotlin.reflect.full.primaryConstructor

/** Names of all records and variants that can cross, found from the types of the calls. */
internal object Reachable {
    private val roots =
        listOf(
            Update::class,
            Event::class,
            FindingsPage::class,
            Opening::class,
            Outcome::class,
            LogLine::class,
            PlinthException::class,
            Moment::class,
            Language::class,
            FileForm::class,
            SyncStep::class,
        )

    /** What no file of vectors can hold, and which test shows it instead. */
    val elsewhere =
        setOf(
            // When work is called off depends on time: LongWorkTest.
            "Outcome.CalledOff",
            // The disk would have to fail in mid-sync: the tests of `ffi`.
            "SyncStop.RECORD",
        )

    fun names(): Set<String> {
        val names = sortedSetOf<String>()
        val known = HashSet<KClass<*>>()

        fun visit(kind: KClass<*>) {
            if (!known.add(kind) || kind.qualifiedName?.startsWith("plinth.") != true) return
            val inside =
                kind.java.superclass
                    ?.kotlin
                    ?.takeIf { it.isSealed }
            when {
                kind.java.isEnum -> {
                    kind.java.enumConstants.forEach { names += "${kind.simpleName}.${(it as Enum<*>).name}" }
                }

                kind.isSealed -> {
                    kind.sealedSubclasses.forEach { visit(it) }
                }

                else -> {
                    names += listOfNotNull(inside?.simpleName, kind.simpleName).joinToString(".")
                    kind.primaryConstructor?.parameters?.forEach { parameter -> classes(parameter.type).forEach { visit(it) } }
                }
            }
        }
        roots.forEach { visit(it) }
        return names
    }

    private fun classes(type: KType): List<KClass<*>> =
        listOfNotNull(type.classifier as? KClass<*>) + type.arguments.flatMap { a -> a.type?.let { classes(it) }.orEmpty() }
}
