package plinth.app

import android.content.Intent
import android.net.Uri
import org.json.JSONObject
import org.junit.After
import org.junit.Assert.assertEquals
import org.junit.Assert.assertFalse
import org.junit.Assert.assertTrue
import org.junit.Test
import org.junit.runner.RunWith
import org.robolectric.annotation.Config
import plinth.app.phone.Certificate
import plinth.app.phone.Kept
import plinth.app.phone.KeyStoreOfTests
import plinth.app.phone.ServerOfTests
import plinth.app.phone.answers
import plinth.core.Spot

/** Pairing by touches, with a server of this machine that has a certificate of its own. */
@RunWith(RealRunner::class)
class PairingTest {
    private val platform = KeyStoreOfTests.install()

    @After
    fun away() = KeyStoreOfTests.remove()

    private fun Lifter.isInvited(
        server: ServerOfTests,
        fingerprint: String,
    ) = meets(
        Intent(Intent.ACTION_VIEW, Uri.parse("plinth:pair?at=${server.address}&certificate=$fingerprint&code=abcd-2345")),
    )

    private val paired = """{"token":"of-a-test","account":"Lifter 1","role":"lifter"}""".toByteArray()

    @Test
    fun `an invitation that a camera read leads to the page, and a touch pairs`() {
        val certificate = Certificate()
        ServerOfTests(certificate) { it.answers(200, paired) }.use { server ->
            Lifter().use { lifter ->
                lifter.opens().isInvited(server, certificate.fingerprint)
                lifter.sees("The invitation is read: ${server.address}")
                assertTrue("nothing is sent before a touch", server.came.isEmpty())
                lifter.touchesExactly("Pair with this server")
                lifter.until("it is paired") { lifter.app.phone.vault.holds }
                val kept =
                    lifter.app.phone.vault
                        .read() as Kept.Here
                assertEquals(server.address, kept.pairing.address)
                assertEquals(certificate.fingerprint, kept.pairing.fingerprint)
                assertEquals("of-a-test", kept.pairing.token)
                val came = server.came.single()
                assertEquals("/v1/pair", came.path)
                val body = JSONObject(came.body.decodeToString())
                assertEquals("ABCD2345", body.getString("code"))
                assertEquals(16, body.getString("device").length)
                assertFalse("no token is sent where there is none", "authorization" in came.headers)
                lifter.sees("Paired with ${server.address}")

                assertFalse(lifter.app.syncing.metered)
                lifter.touchesExactly("Yes")
                assertTrue(lifter.app.syncing.metered)
                lifter.touchesExactly("No")
                assertFalse(lifter.app.syncing.metered)

                lifter.touches("Part from this server")
                assertTrue("one touch parts nothing", lifter.app.phone.vault.holds)
                lifter.touches("Yes, part from this server")
                assertEquals(
                    Kept.Nothing,
                    lifter.app.phone.vault
                        .read(),
                )
                lifter.sees("paired with no server any more")
            }
        }
    }

    @Test
    fun `the page of the server`() {
        Lifter().use { lifter ->
            lifter.opens().opensPage(Spot.Pairing)
            Golden.check("locker-server", lifter.root)
            lifter.meets(Intent(Intent.ACTION_VIEW, Uri.parse("plinth:pair?at=https://gym.example:8443&code=abcd-2345")))
            Golden.check("locker-server-invited", lifter.root)
        }
    }

    @Test
    fun `another certificate than the invitation's gets no code`() {
        ServerOfTests(Certificate()) { it.answers(200, paired) }.use { server ->
            Lifter().use { lifter ->
                lifter.opens().isInvited(server, "ab".repeat(32))
                lifter.touchesExactly("Pair with this server")
                lifter.sees("Another server answers")
                assertTrue(server.came.isEmpty())
                assertFalse(lifter.app.phone.vault.holds)
            }
        }
    }

    @Test
    @Config(qualifiers = "+de")
    fun `a code that does not count is told with what to do, in the lifter's language`() {
        val certificate = Certificate()
        ServerOfTests(certificate) { it.answers(401, "{}".toByteArray()) }.use { server ->
            Lifter().use { lifter ->
                lifter.opens().isInvited(server, certificate.fingerprint)
                lifter.touchesExactly("Mit diesem Server koppeln")
                lifter.sees("lass dir einen neuen geben")
                assertFalse(lifter.app.phone.vault.holds)
            }
        }
    }

    @Test
    fun `a server that is not there is told, and what was written stays`() {
        val gone = ServerOfTests().also { it.close() }
        Lifter().use { lifter ->
            lifter.opens().meets(Intent(Intent.ACTION_VIEW, Uri.parse("plinth:pair?at=${gone.address}&code=abcd-2345")))
            lifter.touchesExactly("Pair with this server")
            lifter.sees("The server was not reached")
            assertFalse(lifter.app.phone.vault.holds)
            assertTrue(lifter.page.title == "Server" && lifter.words.any { it == "ABCD2345" })
        }
    }
}
