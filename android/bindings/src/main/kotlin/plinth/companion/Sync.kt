package plinth.companion

import plinth.boundary.SyncRequest
import plinth.boundary.SyncStop
import plinth.boundary.SyncTold

/** What a server answered. */
class Answer(
    /** The status of HTTP. */
    val status: Int,
    /** The body as it came. */
    val body: ByteArray,
    /** The seconds of a header `Retry-After`, where there was one. */
    val retryAfterS: Int? = null,
)

/** Sends a request as the platform does, to the server that it knows. An [java.io.IOException] means no answer came. */
fun interface Transport {
    suspend fun send(request: SyncRequest): Answer
}

/** How a sync ended. */
sealed class SyncEnd {
    /** It is over. */
    data class Done(
        /** What it did. */
        val told: SyncTold,
    ) : SyncEnd()

    /** It stopped; what came before is kept, and nothing is lost. */
    data class Stopped(
        /** What it asks for. */
        val stop: SyncStop,
        /** Stable, for programs. */
        val code: String,
        /** What is wrong. */
        val problem: String,
        /** What to do. */
        val remedy: String,
        /** After how many milliseconds to try again, where trying again may help. */
        val waitMs: ULong?,
    ) : SyncEnd()
}
