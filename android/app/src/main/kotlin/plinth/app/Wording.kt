package plinth.app

import plinth.boundary.PlinthException
import plinth.companion.fault

/** One part of a fault as the core gives it, which begins small and has no full stop, as a sentence of its own. */
internal fun sentence(part: String): String {
    val words = part.trim().replaceFirstChar(Char::uppercaseChar)
    return if (words.isEmpty() || words.last() in ENDS) words else "$words."
}

/** What is wrong and what to do about it: the one way in which a fault is told. */
internal fun sentences(
    problem: String,
    remedy: String,
): String = listOf(problem, remedy).map(::sentence).filter { it.isNotEmpty() }.joinToString(" ")

/** What the core could not do, and what to do about it. */
internal fun sentences(e: PlinthException): String = sentences(e.fault.problem, e.fault.remedy)

private const val ENDS = ".!?…"
