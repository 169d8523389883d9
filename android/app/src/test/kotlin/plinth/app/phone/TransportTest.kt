package plinth.app.phone

import com.sun.net.httpserver.HttpExchange
import kotlinx.coroutines.Dispatchers
import kotlinx.coroutines.cancelAndJoin
import kotlinx.coroutines.launch
import kotlinx.coroutines.runBlocking
import org.junit.Assert.assertArrayEquals
import org.junit.Assert.assertEquals
import org.junit.Assert.assertNull
import org.junit.Assert.assertTrue
import org.junit.Assert.fail
import org.junit.Test
import org.junit.runner.RunWith
import plinth.app.RealRunner
import plinth.boundary.SyncHeader
import plinth.boundary.SyncRequest
import plinth.companion.Answer
import java.io.ByteArrayOutputStream
import java.io.IOException
import java.net.InetAddress
import java.net.ServerSocket
import java.net.SocketTimeoutException
import java.util.concurrent.CountDownLatch
import java.util.zip.GZIPOutputStream
import kotlin.concurrent.thread

/** Over the JVM's own HTTP, which is not the phones', and the phones' own TLS. */
@RunWith(RealRunner::class)
class TransportTest {
    private val request =
        SyncRequest(
            "/v1/sync",
            listOf(SyncHeader("Content-Type", "application/json"), SyncHeader("Authorization", "Bearer of-a-test")),
            "{\"protocol\":1}".toByteArray(),
        )

    private fun through(
        server: ServerOfTests,
        fingerprint: String? = null,
        patience: Patience = Patience(),
    ) = HttpTransport(Pairing(server.address, fingerprint, "of-a-test"), patience = patience)

    private fun HttpTransport.gets(): Answer = runBlocking { send(request) }

    private fun HttpTransport.failsWith(trouble: Trouble?): IOException =
        try {
            fail("an answer came: ${gets().status}")
            throw AssertionError()
        } catch (e: IOException) {
            assertEquals(trouble, this.trouble)
            e
        }

    @Test
    fun `the paired certificate is taken under any name, and both ways the bytes are as they were`() {
        val packed = ByteArrayOutputStream().also { out -> GZIPOutputStream(out).use { it.write("{}".toByteArray()) } }.toByteArray()
        val own = Certificate(names = "dns:elsewhere.example")
        ServerOfTests(own) { it.answers(200, packed, "Content-Encoding" to "gzip") }.use { server ->
            for (fingerprint in listOf(own.fingerprint, own.fingerprint.uppercase())) {
                val answer = through(server, fingerprint).gets()
                assertEquals(200, answer.status)
                assertArrayEquals("packed as it came", packed, answer.body)
            }
            val came = server.came.first()
            assertEquals("/v1/sync", came.path)
            assertEquals("Bearer of-a-test", came.headers["authorization"])
            assertEquals("application/json", came.headers["content-type"])
            assertEquals("gzip", came.headers["accept-encoding"])
            assertArrayEquals(request.body, came.body)
        }
    }

    @Test
    fun `any other certificate is refused before a byte is sent, and said`() {
        val own = Certificate()
        ServerOfTests(own).use { server ->
            through(server, Certificate().fingerprint).failsWith(Trouble.NotThePaired)
            through(server).failsWith(Trouble.Untrusted)
            assertTrue("the token went to a stranger", server.came.isEmpty())
        }
        val past = Certificate(begins = "-40d", days = 30)
        ServerOfTests(past).use { server ->
            through(server, past.fingerprint).failsWith(Trouble.Expired)
            through(server).failsWith(Trouble.Expired)
            through(server, own.fingerprint).failsWith(Trouble.NotThePaired)
            assertTrue(server.came.isEmpty())
        }
        val early = Certificate(begins = "+2d")
        ServerOfTests(early).use { server ->
            through(server, early.fingerprint).failsWith(Trouble.ClockWrong)
            assertTrue(server.came.isEmpty())
        }
    }

    @Test
    fun `what the platform trusts is taken for its own host only`() {
        val public = Certificate()
        ServerOfTests(public).use { server ->
            val trust = Trust("ab".repeat(32), Trust.ofPlatform(public.asRoot()))
            assertEquals(200, HttpTransport(Pairing(server.address, "ab".repeat(32), "t"), trust).gets().status)
        }
        val elsewhere = Certificate(names = "dns:elsewhere.example")
        ServerOfTests(elsewhere).use { server ->
            val trust = Trust(null, Trust.ofPlatform(elsewhere.asRoot()))
            HttpTransport(Pairing(server.address, null, "t"), trust).failsWith(Trouble.OtherHost)
            assertTrue(server.came.isEmpty())
        }
    }

    @Test
    fun `without a seal it goes to this device only`() {
        ServerOfTests().use { server ->
            assertEquals(200, through(server).gets().status)
            assertEquals(200, HttpTransport(Pairing(server.address.replace("127.0.0.1", "localhost") + "/", null, "t")).gets().status)
        }
        // 192.0.2.0/24 is for documentation (RFC 5737): nobody answers there, and nobody is asked.
        val refused =
            listOf(
                "http://192.0.2.1",
                "http://127.0.0.1.example",
                "http://2130706433",
                "ftp://127.0.0.1",
                "https://",
                "gym",
                "",
                "https://a b",
            ) +
                listOf("https://someone@127.0.0.1", "https://127.0.0.1/elsewhere", "https://127.0.0.1?x", "https://127.0.0.1#x")
        for (address in refused) {
            val e = HttpTransport(Pairing(address, null, "t")).failsWith(Trouble.Address)
            assertEquals(address, Trouble.Address.toString(), e.message)
        }
    }

    @Test
    fun `a redirect is handed over and not followed`() {
        ServerOfTests().use { other ->
            ServerOfTests { it.answers(302, ByteArray(0), "Location" to "${other.address}/v1/sync") }.use { server ->
                assertEquals(302, through(server).gets().status)
                assertTrue("the token went elsewhere", other.came.isEmpty())
                assertEquals(1, server.came.size)
            }
        }
    }

    @Test
    fun `every status comes with its body and its wait`() {
        val statuses =
            mapOf<String, (HttpExchange) -> Unit>(
                "403" to { it.answers(403, "{\"code\":\"revoked\"}".toByteArray()) },
                "429" to { it.answers(429, "{}".toByteArray(), "Retry-After" to "90") },
                "503" to { it.answers(503, "<html>".toByteArray(), "Retry-After" to "soon") },
                "500" to { it.answers(500) },
            )
        val answers = statuses.mapValues { (_, say) -> ServerOfTests(answer = say).use { through(it).gets() } }
        assertEquals(statuses.keys.map { it.toInt() }, answers.values.map { it.status })
        assertEquals(listOf("{\"code\":\"revoked\"}", "{}", "<html>", ""), answers.values.map { it.body.decodeToString() })
        assertEquals(listOf(null, 90, null, null), answers.values.map { it.retryAfterS })
        ServerOfTests { it.answers(401, "{\"code\":\"token_revoked\"}".toByteArray()) }.use { server ->
            assertEquals(401, through(server).gets().status)
            assertEquals("it was sent once", 1, server.came.size)
        }
        ServerOfTests { it.answers(503, ByteArray(0), "Retry-After" to "Tue, 15 Nov 2044 08:12:31 GMT") }.use { server ->
            val wait = checkNotNull(through(server).gets().retryAfterS)
            // 2 362 810 351 is that moment in seconds since 1970; the server's own clock is this machine's.
            val left = 2_362_810_351L - System.currentTimeMillis() / 1000
            assertTrue("$wait s, where $left are left", wait in left - 60..left + 60)
        }
    }

    @Test
    fun `an answer that has no end is not read to it`() {
        ServerOfTests { it.answers(200, ByteArray(100_000)) }.use { server ->
            through(server, patience = Patience(longest = 99_999)).failsWith(Trouble.TooLong)
            assertEquals(100_000, through(server, patience = Patience(longest = 100_000)).gets().body.size)
        }
    }

    @Test
    fun `a connection that is cut at any place is no answer`() {
        val whole = "HTTP/1.1 200 OK\r\nContent-Length: 20\r\n\r\n0123456789"
        for (length in listOf(0, 5, whole.length - 12, whole.length)) {
            ServerSocket(0, 1, InetAddress.getLoopbackAddress()).use { server ->
                thread {
                    server.accept().use { socket ->
                        // The request is read to its end, so that the end of the answer is what cuts.
                        val piece = ByteArray(4096)
                        var seen = ""
                        while ("\"protocol\":1}" !in seen) seen += String(piece, 0, socket.getInputStream().read(piece).coerceAtLeast(0))
                        socket.getOutputStream().write(whole.take(length).toByteArray())
                    }
                }
                HttpTransport(Pairing("http://127.0.0.1:${server.localPort}", null, "t")).failsWith(null)
            }
        }
        val gone = ServerSocket(0, 1, InetAddress.getLoopbackAddress()).use { it.localPort }
        HttpTransport(Pairing("http://127.0.0.1:$gone", null, "t")).failsWith(null)
    }

    @Test
    fun `a server that is slow, or sends a byte now and then, is not waited for`() {
        val over = CountDownLatch(1)
        ServerOfTests { over.await() }.use { server ->
            assertTrue(through(server, patience = Patience(readMs = 200)).failsWith(null) is SocketTimeoutException)
            over.countDown()
        }
        val drips = CountDownLatch(1)
        ServerOfTests {
            it.sendResponseHeaders(200, 0)
            while (drips.count > 0) {
                it.responseBody.write('0'.code)
                it.responseBody.flush()
                Thread.sleep(20)
            }
        }.use { server ->
            assertTrue(through(server, patience = Patience(wholeMs = 1_000)).failsWith(null) is SocketTimeoutException)
            drips.countDown()
        }
    }

    @Test(timeout = 60_000)
    fun `who calls it off does not wait for the server`() =
        runBlocking {
            val asked = CountDownLatch(1)
            val over = CountDownLatch(1)
            ServerOfTests {
                asked.countDown()
                over.await()
            }.use { server ->
                val transport = through(server, patience = Patience(readMs = 0, wholeMs = 3_600_000))
                val sending = launch(Dispatchers.Default) { transport.send(request) }
                asked.await()
                sending.cancelAndJoin()
                assertNull(transport.trouble)
                over.countDown()
            }
        }

    @Test
    fun `a token that HTTP cannot carry is no crash`() {
        ServerOfTests().use { server ->
            val odd = request.copy(headers = listOf(SyncHeader("Authorization", "Bearer a\r\nb")))
            try {
                runBlocking { through(server).send(odd).status }
                fail("it was sent")
            } catch (_: IOException) {
                assertTrue(server.came.isEmpty())
            }
        }
    }
}
