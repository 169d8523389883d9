package plinth.companion

import plinth.boundary.PlinthException

/** What every kind of [PlinthException] says of itself. */
data class Fault(
    /** Stable, for programs. */
    val code: String,
    /** The field at fault, where there is one. */
    val field: String?,
    /** What is wrong. */
    val problem: String,
    /** What to do. */
    val remedy: String,
)

/** What it says, whatever its kind. */
val PlinthException.fault: Fault
    get() =
        when (this) {
            is PlinthException.Input -> Fault(code, field, problem, remedy)
            is PlinthException.Store -> Fault(code, field, problem, remedy)
            is PlinthException.Defect -> Fault(code, field, problem, remedy)
        }
