package plinth.app.phone

import android.security.keystore.KeyGenParameterSpec
import java.io.InputStream
import java.io.OutputStream
import java.security.Key
import java.security.KeyStoreSpi
import java.security.Provider
import java.security.ProviderException
import java.security.SecureRandom
import java.security.Security
import java.security.cert.Certificate
import java.security.spec.AlgorithmParameterSpec
import java.util.Collections
import java.util.Date
import java.util.Enumeration
import javax.crypto.KeyGenerator
import javax.crypto.KeyGeneratorSpi
import javax.crypto.SecretKey

/** Stands for the platform's key store, which Robolectric has not: AES keys in memory, made as the platform is asked to. */
internal class KeyStoreOfTests : Provider("AndroidKeyStore", "1", "keys of the tests") {
    val held = mutableMapOf<String, SecretKey>()
    var asked: KeyGenParameterSpec? = null

    /** As where the key store's own process has failed. */
    var broken = false

    init {
        service("KeyStore", "AndroidKeyStore") { Store() }
        service("KeyGenerator", "AES") { Generator() }
    }

    private fun service(
        type: String,
        algorithm: String,
        make: () -> Any,
    ) = putService(
        object : Service(this, type, algorithm, make.javaClass.name, null, null) {
            override fun newInstance(parameter: Any?): Any = make()
        },
    )

    private fun works() {
        if (broken) throw ProviderException("the key store does not answer")
    }

    private inner class Generator : KeyGeneratorSpi() {
        override fun engineInit(random: SecureRandom?): Unit = throw UnsupportedOperationException()

        override fun engineInit(
            size: Int,
            random: SecureRandom?,
        ): Unit = throw UnsupportedOperationException()

        override fun engineInit(
            spec: AlgorithmParameterSpec,
            random: SecureRandom?,
        ) {
            asked = spec as KeyGenParameterSpec
        }

        override fun engineGenerateKey(): SecretKey {
            works()
            val spec = checkNotNull(asked)
            val inMemory = KeyGenerator.getInstance("AES", "SunJCE").apply { init(spec.keySize) }.generateKey()
            held[spec.keystoreAlias] = inMemory
            return inMemory
        }
    }

    private inner class Store : KeyStoreSpi() {
        override fun engineGetKey(
            alias: String,
            password: CharArray?,
        ): Key? {
            works()
            return held[alias]
        }

        override fun engineDeleteEntry(alias: String) {
            works()
            held.remove(alias)
        }

        override fun engineLoad(
            from: InputStream?,
            password: CharArray?,
        ) = Unit

        override fun engineAliases(): Enumeration<String> = Collections.enumeration(held.keys)

        override fun engineContainsAlias(alias: String) = alias in held

        override fun engineSize() = held.size

        override fun engineIsKeyEntry(alias: String) = alias in held

        override fun engineIsCertificateEntry(alias: String) = false

        override fun engineGetCertificateChain(alias: String): Array<Certificate>? = null

        override fun engineGetCertificate(alias: String): Certificate? = null

        override fun engineGetCertificateAlias(certificate: Certificate?): String? = null

        override fun engineGetCreationDate(alias: String): Date? = null

        override fun engineSetKeyEntry(
            alias: String,
            key: Key,
            password: CharArray?,
            chain: Array<Certificate>?,
        ): Unit = throw UnsupportedOperationException()

        override fun engineSetKeyEntry(
            alias: String,
            key: ByteArray,
            chain: Array<Certificate>?,
        ): Unit = throw UnsupportedOperationException()

        override fun engineSetCertificateEntry(
            alias: String,
            certificate: Certificate,
        ): Unit = throw UnsupportedOperationException()

        override fun engineStore(
            to: OutputStream?,
            password: CharArray?,
        ): Unit = throw UnsupportedOperationException()
    }

    companion object {
        /** Puts a new one, empty, in the place of any before. */
        fun install(): KeyStoreOfTests {
            remove()
            return KeyStoreOfTests().also { Security.addProvider(it) }
        }

        fun remove() = Security.removeProvider("AndroidKeyStore")
    }
}
