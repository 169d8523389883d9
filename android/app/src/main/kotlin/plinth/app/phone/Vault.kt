package plinth.app.phone

import android.content.Context
import android.security.keystore.KeyGenParameterSpec
import android.security.keystore.KeyPermanentlyInvalidatedException
import android.security.keystore.KeyProperties
import android.util.Base64
import java.io.ByteArrayInputStream
import java.io.ByteArrayOutputStream
import java.io.DataInputStream
import java.io.DataOutputStream
import java.io.IOException
import java.security.GeneralSecurityException
import java.security.KeyStore
import java.security.ProviderException
import javax.crypto.Cipher
import javax.crypto.KeyGenerator
import javax.crypto.SecretKey
import javax.crypto.spec.GCMParameterSpec

/** What pairing gave: which server, how it is known, and the token of this device. */
internal data class Pairing(
    /** Where the server is: `https://host:port`; `http` on this device only. */
    val address: String,
    /** SHA-256 of the server's certificate in 64 hexadecimal digits; none where the platform's trust is enough. */
    val fingerprint: String?,
    /** The token, which belongs in no log. */
    val token: String,
) {
    override fun toString() = "Pairing($address)"
}

/** Whether this device is paired. */
internal sealed interface Kept {
    /** It never was, or was unpaired. */
    data object Nothing : Kept

    /** It was, and what it needs cannot be read any more: the lifter pairs it again. */
    data object Lost : Kept

    /** It is. */
    data class Here(
        val pairing: Pairing,
    ) : Kept
}

/**
 * Keeps the pairing, sealed (AES-256 in GCM, NIST SP 800-38D) with a key that never leaves the platform's key store.
 * What is sealed lies in the app's preferences, which no backup takes along; the key does not go to another phone
 * either, so that a restored phone cannot pose as this one.
 */
internal class Vault(
    context: Context,
) {
    private val kept = context.applicationContext.getSharedPreferences("vault", Context.MODE_PRIVATE)

    /** Whether there is anything, readable or not. */
    val holds: Boolean get() = kept.contains(SEALED)

    /** What is kept. Never throws: what cannot be opened is lost, and stays told as lost until the next pairing. */
    fun read(): Kept {
        val sealed = kept.getString(SEALED, null) ?: return Kept.Nothing
        return try {
            val bytes = Base64.decode(sealed, Base64.NO_WRAP)
            val key = key() ?: return Kept.Lost
            val cipher = Cipher.getInstance(CIPHER)
            cipher.init(Cipher.DECRYPT_MODE, key, GCMParameterSpec(TAG_BITS, bytes, 0, NONCE))
            cipher.updateAAD(FORM)
            Kept.Here(unwritten(cipher.doFinal(bytes, NONCE, bytes.size - NONCE)))
        } catch (_: GeneralSecurityException) {
            Kept.Lost
        } catch (_: ProviderException) {
            Kept.Lost
        } catch (_: IOException) {
            Kept.Lost
        } catch (_: IllegalArgumentException) {
            Kept.Lost
        }
    }

    /** Keeps a pairing in place of any other. False where the platform's key store does not serve: nothing has changed. */
    fun keep(pairing: Pairing): Boolean =
        try {
            val sealed =
                try {
                    seal(pairing, key() ?: newKey())
                } catch (_: KeyPermanentlyInvalidatedException) {
                    seal(pairing, newKey())
                }
            kept.edit().putString(SEALED, sealed).commit()
        } catch (_: GeneralSecurityException) {
            false
        } catch (_: ProviderException) {
            false
        } catch (_: IOException) {
            false
        }

    /** Forgets the pairing, and the key with it. */
    fun forget() {
        kept.edit().remove(SEALED).commit()
        try {
            store().deleteEntry(ALIAS)
        } catch (_: GeneralSecurityException) {
            // It seals nothing any more.
        } catch (_: ProviderException) {
            // As above.
        } catch (_: IOException) {
            // As above.
        }
    }

    private fun seal(
        pairing: Pairing,
        key: SecretKey,
    ): String {
        val cipher = Cipher.getInstance(CIPHER)
        // The key store draws the nonce, and refuses one of ours.
        cipher.init(Cipher.ENCRYPT_MODE, key)
        cipher.updateAAD(FORM)
        val nonce = cipher.iv
        if (nonce.size != NONCE) throw GeneralSecurityException("a nonce of ${nonce.size} bytes")
        return Base64.encodeToString(nonce + cipher.doFinal(written(pairing)), Base64.NO_WRAP)
    }

    private fun store(): KeyStore = KeyStore.getInstance(STORE).apply { load(null) }

    private fun key(): SecretKey? = store().getKey(ALIAS, null) as? SecretKey

    private fun newKey(): SecretKey {
        val generator = KeyGenerator.getInstance(KeyProperties.KEY_ALGORITHM_AES, STORE)
        generator.init(
            KeyGenParameterSpec
                .Builder(ALIAS, KeyProperties.PURPOSE_ENCRYPT or KeyProperties.PURPOSE_DECRYPT)
                .setKeySize(KEY_BITS)
                .setBlockModes(KeyProperties.BLOCK_MODE_GCM)
                .setEncryptionPaddings(KeyProperties.ENCRYPTION_PADDING_NONE)
                .build(),
        )
        return generator.generateKey()
    }

    private fun written(pairing: Pairing): ByteArray =
        ByteArrayOutputStream()
            .also { bytes ->
                DataOutputStream(bytes).run {
                    writeUTF(pairing.address)
                    writeUTF(pairing.fingerprint.orEmpty())
                    writeUTF(pairing.token)
                }
            }.toByteArray()

    private fun unwritten(bytes: ByteArray): Pairing =
        DataInputStream(ByteArrayInputStream(bytes)).run { Pairing(readUTF(), readUTF().ifEmpty { null }, readUTF()) }

    private companion object {
        const val STORE = "AndroidKeyStore"
        const val ALIAS = "plinth.pairing"
        const val SEALED = "pairing"
        const val CIPHER = "AES/GCM/NoPadding"
        const val KEY_BITS = 256

        /** Bytes, and bits: the lengths that SP 800-38D (5.2.1) recommends. */
        const val NONCE = 12
        const val TAG_BITS = 128

        /** Which form is sealed: another one does not open as this. */
        val FORM = "plinth.pairing/1".toByteArray()
    }
}
