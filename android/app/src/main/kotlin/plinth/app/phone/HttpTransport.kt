package plinth.app.phone

import kotlinx.coroutines.Dispatchers
import kotlinx.coroutines.TimeoutCancellationException
import kotlinx.coroutines.suspendCancellableCoroutine
import kotlinx.coroutines.withContext
import kotlinx.coroutines.withTimeout
import plinth.boundary.SyncRequest
import plinth.companion.Answer
import plinth.companion.Transport
import java.io.ByteArrayOutputStream
import java.io.IOException
import java.io.InputStream
import java.net.HttpURLConnection
import java.net.MalformedURLException
import java.net.SocketTimeoutException
import java.net.URI
import java.net.URISyntaxException
import java.net.URL
import java.net.UnknownServiceException
import javax.net.ssl.HttpsURLConnection
import javax.net.ssl.SSLContext

/** How long is waited, milliseconds (common practice, no source), and how much is read, bytes. */
internal data class Patience(
    /** For the connection. */
    val connectMs: Int = 15_000,
    /** For the next bytes of an answer. */
    val readMs: Int = 30_000,
    /** For the whole of an answer. */
    val wholeMs: Long = 180_000,
    /** Of an answer as it comes; the core unpacks no more than that either. */
    val longest: Int = 16 * 1024 * 1024,
)

/**
 * Sends requests to the paired server over the platform's own HTTP, and nowhere else: no redirect is followed, so that
 * the token goes to no other host.
 */
internal class HttpTransport(
    private val pairing: Pairing,
    private val trust: Trust = Trust(pairing.fingerprint),
    private val patience: Patience = Patience(),
    private val now: () -> Long = System::currentTimeMillis,
) : Transport {
    /** What stood in the way of the last request, where it was more than a lost connection. */
    @Volatile
    var trouble: Trouble? = null
        private set

    private val sockets by lazy { SSLContext.getInstance("TLS").apply { init(null, arrayOf(trust), null) }.socketFactory }

    override suspend fun send(request: SyncRequest): Answer {
        trouble = null
        val to = address(request.path) ?: refuse(Trouble.Address)
        try {
            return withTimeout(patience.wholeMs) {
                withContext(Dispatchers.IO) {
                    val connection = to.openConnection() as HttpURLConnection
                    // Who calls the sync off does not wait for a server.
                    suspendCancellableCoroutine { waiting ->
                        waiting.invokeOnCancellation { connection.disconnect() }
                        waiting.resumeWith(runCatching { exchange(connection, request) })
                    }
                }
            }
        } catch (e: TimeoutCancellationException) {
            throw SocketTimeoutException("no whole answer in ${patience.wholeMs} ms").apply { initCause(e) }
        } catch (e: IOException) {
            trouble = trouble ?: causes(e).filterIsInstance<CertificateRefused>().firstOrNull()?.trouble
            if (trouble == null && trust.otherHost) trouble = Trouble.OtherHost
            throw e
        }
    }

    /** The address of [path] at the server; null where the record would go unsealed, or nowhere. */
    private fun address(path: String): URL? =
        try {
            val base = URI(pairing.address)
            val sealed =
                base.scheme.equals("https", ignoreCase = true) || (base.scheme.equals("http", ignoreCase = true) && base.host in HERE)
            val bare = base.rawUserInfo == null && base.rawQuery == null && base.rawFragment == null && base.rawPath in setOf("", "/")
            if (sealed && bare && base.host != null) URI(base.scheme, base.rawAuthority, path, null, null).toURL() else null
        } catch (_: URISyntaxException) {
            null
        } catch (_: MalformedURLException) {
            null
        } catch (_: IllegalArgumentException) {
            null
        }

    private fun exchange(
        connection: HttpURLConnection,
        request: SyncRequest,
    ): Answer {
        if (connection is HttpsURLConnection) {
            connection.sslSocketFactory = sockets
            connection.hostnameVerifier = trust
        }
        connection.connectTimeout = patience.connectMs
        connection.readTimeout = patience.readMs
        connection.instanceFollowRedirects = false
        connection.useCaches = false
        connection.requestMethod = "POST"
        connection.doOutput = true
        // Of known length it is sent once: the platform repeats nothing by itself.
        connection.setFixedLengthStreamingMode(request.body.size)
        try {
            request.headers.forEach { connection.setRequestProperty(it.name, it.value) }
        } catch (e: IllegalArgumentException) {
            throw IOException("a header that HTTP does not carry", e)
        }
        // Said outright, the platform leaves a packed answer as it is: the core unpacks it, within its limit.
        connection.setRequestProperty("Accept-Encoding", "gzip")
        try {
            connection.outputStream.use { it.write(request.body) }
            val status = connection.responseCode
            if (status < 0) throw IOException("no answer of HTTP")
            // Of some statuses (401 after a body of known length) a platform may give nothing but the head.
            val body = (if (status >= FAULTS) connection.errorStream else connection.inputStream)?.use(::read)
            // Not every platform tells that the connection ended before the answer did.
            if (body != null &&
                connection.contentLengthLong > body.size
            ) {
                throw IOException("${body.size} of ${connection.contentLengthLong} bytes")
            }
            return Answer(status, body ?: ByteArray(0), retryAfter(connection))
        } catch (e: UnknownServiceException) {
            // The platform's own rule against unsealed connections.
            trouble = Trouble.Address
            throw e
        } finally {
            if (trouble != null) connection.disconnect()
        }
    }

    private fun read(from: InputStream): ByteArray {
        val out = ByteArrayOutputStream()
        val piece = ByteArray(PIECE)
        while (true) {
            val n = from.read(piece)
            if (n < 0) return out.toByteArray()
            if (out.size() + n > patience.longest) refuse(Trouble.TooLong)
            out.write(piece, 0, n)
        }
    }

    /** Seconds, or the date after which to come again (RFC 9110, 10.2.3). */
    private fun retryAfter(connection: HttpURLConnection): Int? {
        val said = connection.getHeaderField("Retry-After")?.trim() ?: return null
        said.toLongOrNull()?.let { return it.coerceIn(0, Int.MAX_VALUE.toLong()).toInt() }
        val at = connection.getHeaderFieldDate("Retry-After", 0)
        if (at == 0L) return null
        val theirs = connection.date.takeIf { it > 0 } ?: now()
        return ((at - theirs) / MS).coerceIn(0, Int.MAX_VALUE.toLong()).toInt()
    }

    private fun refuse(why: Trouble): Nothing {
        trouble = why
        throw IOException(why.toString())
    }

    private fun causes(e: Throwable) = generateSequence(e) { it.cause }.take(DEEPEST)

    private companion object {
        /** This device itself, as `res/xml/network.xml` names it too. */
        val HERE = setOf("localhost", "127.0.0.1")
        const val FAULTS = 400
        const val PIECE = 16 * 1024
        const val MS = 1000L
        const val DEEPEST = 16
    }
}
