package plinth.app.phone

import com.sun.net.httpserver.HttpExchange
import com.sun.net.httpserver.HttpServer
import com.sun.net.httpserver.HttpsConfigurator
import com.sun.net.httpserver.HttpsServer
import java.io.File
import java.net.InetAddress
import java.net.InetSocketAddress
import java.nio.file.Files
import java.security.KeyStore
import java.security.Security
import java.security.cert.X509Certificate
import java.util.concurrent.CopyOnWriteArrayList
import java.util.concurrent.ExecutorService
import java.util.concurrent.Executors
import javax.net.ssl.KeyManagerFactory
import javax.net.ssl.SSLContext

/** A certificate of one's own, as a server in a basement makes it, by the JDK's `keytool`. */
internal class Certificate(
    /** Whom it names. */
    names: String = "ip:127.0.0.1",
    /** When it begins, as `keytool` says it. */
    begins: String = "-1d",
    days: Int = 30,
) {
    val store: KeyStore

    init {
        val folder = Files.createTempDirectory("certificate").toFile()
        val file = File(folder, "own.p12")
        val tool = File(System.getProperty("java.home"), "bin/keytool")
        val made =
            ProcessBuilder(
                "$tool -genkeypair -alias own -keyalg EC -groupname secp256r1 -dname CN=basement -startdate $begins -validity $days".split(
                    " ",
                ) +
                    "-ext SAN=$names -storetype PKCS12 -storepass $PASSWORD -keystore $file".split(" "),
            ).redirectErrorStream(true).start()
        val said = made.inputStream.readBytes().decodeToString()
        check(made.waitFor() == 0) { said }
        store = KeyStore.getInstance("PKCS12").apply { file.inputStream().use { load(it, PASSWORD.toCharArray()) } }
        folder.deleteRecursively()
    }

    val leaf get() = store.getCertificate("own") as X509Certificate
    val fingerprint get() = Trust.fingerprintOf(leaf)

    /** A store of roots that holds it, as a platform holds those of public certificates. */
    fun asRoot(): KeyStore =
        KeyStore.getInstance("PKCS12").apply {
            load(null, null)
            setCertificateEntry("root", leaf)
        }

    fun context(): SSLContext {
        JdkSeals
        val keys = KeyManagerFactory.getInstance("SunX509", "SunJSSE").apply { init(store, PASSWORD.toCharArray()) }
        return SSLContext.getInstance("TLS", "SunJSSE").apply { init(keys.keyManagers, null, null) }
    }

    companion object {
        const val PASSWORD = "of-the-tests"
    }
}

/**
 * Lets the JDK's own TLS, which the server speaks, learn its curves from the JDK: Robolectric puts the phones' provider
 * first, which does not have all of them. The client speaks the phones' TLS.
 */
private object JdkSeals {
    init {
        val phones = Security.getProvider("Conscrypt")
        Security.removeProvider("Conscrypt")
        SSLContext.getInstance("TLS", "SunJSSE").apply { init(null, null, null) }.createSSLEngine()
        phones?.let { Security.insertProviderAt(it, 1) }
    }
}

/** What came to a server. */
internal class Came(
    val path: String,
    val headers: Map<String, String>,
    val body: ByteArray,
)

/** A server on this machine, sealed where it has a certificate, that answers as a test says. */
internal class ServerOfTests(
    certificate: Certificate? = null,
    /** Answers one exchange. */
    private val answer: (HttpExchange) -> Unit = { it.answers(200, "{}".toByteArray()) },
) : AutoCloseable {
    val came = CopyOnWriteArrayList<Came>()
    private val workers: ExecutorService = Executors.newCachedThreadPool()
    private val here = InetSocketAddress(InetAddress.getByAddress(byteArrayOf(127, 0, 0, 1)), 0)
    private val server: HttpServer =
        if (certificate == null) {
            HttpServer.create(here, 0)
        } else {
            HttpsServer.create(here, 0).apply { httpsConfigurator = HttpsConfigurator(certificate.context()) }
        }
    val address = "${if (certificate == null) "http" else "https"}://127.0.0.1:${server.address.port}"

    init {
        server.executor = workers
        server.createContext("/") { exchange ->
            val headers = exchange.requestHeaders.entries.associate { it.key.lowercase() to it.value.joinToString() }
            came += Came(exchange.requestURI.path, headers, exchange.requestBody.readBytes())
            exchange.use { answer(it) }
        }
        server.start()
    }

    override fun close() {
        workers.shutdownNow()
        server.stop(0)
    }
}

private inline fun HttpExchange.use(what: (HttpExchange) -> Unit) {
    try {
        what(this)
    } finally {
        close()
    }
}

internal fun HttpExchange.answers(
    status: Int,
    body: ByteArray = ByteArray(0),
    vararg headers: Pair<String, String>,
) {
    headers.forEach { (name, value) -> responseHeaders.add(name, value) }
    sendResponseHeaders(status, if (body.isEmpty()) -1L else body.size.toLong())
    if (body.isNotEmpty()) responseBody.write(body)
}
