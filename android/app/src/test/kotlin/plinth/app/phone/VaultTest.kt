package plinth.app.phone

import android.content.Context
import android.security.keystore.KeyProperties
import android.util.Base64
import org.junit.After
import org.junit.Assert.assertEquals
import org.junit.Assert.assertFalse
import org.junit.Assert.assertNotEquals
import org.junit.Assert.assertTrue
import org.junit.Test
import org.junit.runner.RunWith
import org.robolectric.RuntimeEnvironment
import plinth.app.RealRunner

@RunWith(RealRunner::class)
class VaultTest {
    private val platform = KeyStoreOfTests.install()
    private val app = RuntimeEnvironment.getApplication()
    private val preferences = app.getSharedPreferences("vault", Context.MODE_PRIVATE)
    private val gym = Pairing("https://gym.example:8443", "ab".repeat(32), "token-of-a-lifter")

    @After
    fun away() = KeyStoreOfTests.remove()

    @Test
    fun `what is kept is read by the next process, and lies there sealed`() {
        assertEquals(Kept.Nothing, Vault(app).read())
        assertTrue(Vault(app).keep(gym))
        assertEquals(Kept.Here(gym), Vault(app).read())
        val open = gym.copy(address = "https://gym.example", fingerprint = null)
        assertTrue(Vault(app).keep(open))
        assertEquals(Kept.Here(open), Vault(app).read())
        val lying = sealed() + String(Base64.decode(sealed(), Base64.NO_WRAP), Charsets.ISO_8859_1)
        for (part in listOf("token-of", "gym.example", "abab")) assertFalse(part, part in lying)
        assertFalse("a log would hold the token", "token-of" in gym.toString())
    }

    @Test
    fun `the key is asked for as one of 256 bits for this one use, drawn by the platform`() {
        Vault(app).keep(gym)
        val asked = checkNotNull(platform.asked)
        assertEquals(256, asked.keySize)
        assertEquals(KeyProperties.PURPOSE_ENCRYPT or KeyProperties.PURPOSE_DECRYPT, asked.purposes)
        assertEquals(listOf(KeyProperties.BLOCK_MODE_GCM), asked.blockModes.toList())
        assertEquals(listOf(KeyProperties.ENCRYPTION_PADDING_NONE), asked.encryptionPaddings.toList())
        assertTrue(asked.isRandomizedEncryptionRequired)
        val first = sealed()
        Vault(app).keep(gym)
        assertNotEquals("a nonce that came twice", first, sealed())
    }

    @Test
    fun `a key that is gone or another means paired no longer, until it is paired anew`() {
        Vault(app).keep(gym)
        platform.held.clear()
        assertEquals(Kept.Lost, Vault(app).read())
        assertTrue("it is said, not forgotten", Vault(app).holds)
        assertTrue(Vault(app).keep(gym.copy(token = "another")))
        assertEquals(Kept.Here(gym.copy(token = "another")), Vault(app).read())
        val own = sealed()
        platform.held.clear()
        Vault(app).keep(gym)
        preferences.edit().putString("pairing", own).commit()
        assertEquals("sealed with a key before this one", Kept.Lost, Vault(app).read())
    }

    @Test
    fun `what was changed on the disk is lost, and nothing crashes`() {
        Vault(app).keep(gym)
        val bytes = Base64.decode(sealed(), Base64.NO_WRAP)
        for (at in bytes.indices) {
            val other = bytes.copyOf().also { it[at] = (it[at].toInt() xor 1).toByte() }
            lies(Base64.encodeToString(other, Base64.NO_WRAP))
            assertEquals("byte $at", Kept.Lost, Vault(app).read())
        }
        for (length in listOf(0, 1, 11, 12, 27, bytes.size - 1)) {
            lies(Base64.encodeToString(bytes.copyOf(length), Base64.NO_WRAP))
            assertEquals("$length bytes", Kept.Lost, Vault(app).read())
        }
        lies("no base64 \u0000")
        assertEquals(Kept.Lost, Vault(app).read())
    }

    @Test
    fun `what is forgotten leaves neither seal nor key`() {
        Vault(app).keep(gym)
        Vault(app).forget()
        assertEquals(Kept.Nothing, Vault(app).read())
        assertFalse(Vault(app).holds)
        assertTrue(platform.held.isEmpty())
    }

    @Test
    fun `a key store that does not serve is told, and changes nothing`() {
        Vault(app).keep(gym)
        platform.broken = true
        assertFalse(Vault(app).keep(gym.copy(token = "another")))
        assertEquals(Kept.Lost, Vault(app).read())
        platform.broken = false
        assertEquals(Kept.Here(gym), Vault(app).read())
        platform.broken = true
        Vault(app).forget()
        assertEquals(Kept.Nothing, Vault(app).read())
        KeyStoreOfTests.remove()
        assertFalse("there is none at all", Vault(app).keep(gym))
    }

    private fun sealed() = checkNotNull(preferences.getString("pairing", null))

    private fun lies(text: String) = preferences.edit().putString("pairing", text).commit()
}
