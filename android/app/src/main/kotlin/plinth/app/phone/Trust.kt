package plinth.app.phone

import java.net.Socket
import java.security.KeyStore
import java.security.MessageDigest
import java.security.cert.CertificateException
import java.security.cert.CertificateExpiredException
import java.security.cert.CertificateNotYetValidException
import java.security.cert.X509Certificate
import javax.net.ssl.HostnameVerifier
import javax.net.ssl.HttpsURLConnection
import javax.net.ssl.SSLEngine
import javax.net.ssl.SSLException
import javax.net.ssl.SSLSession
import javax.net.ssl.TrustManagerFactory
import javax.net.ssl.X509ExtendedTrustManager

/** A certificate that is not taken, and why. */
internal class CertificateRefused(
    val trouble: Trouble,
    cause: CertificateException? = null,
) : CertificateException(trouble.toString(), cause)

/**
 * Takes the one certificate whose fingerprint came with the pairing, whatever host it names, and besides it what the
 * platform trusts. A server in a basement has no public certificate; one that later gets such a certificate stays
 * reachable.
 */
internal class Trust(
    private val fingerprint: String?,
    private val platform: X509ExtendedTrustManager = ofPlatform(),
    private val verifier: HostnameVerifier = HttpsURLConnection.getDefaultHostnameVerifier(),
) : X509ExtendedTrustManager(),
    HostnameVerifier {
    /** Whether the last name that was asked for did not match. */
    @Volatile
    var otherHost = false
        private set

    // The platform's own manager wants the socket: what it trusts depends on the host.
    override fun checkServerTrusted(
        chain: Array<X509Certificate>,
        type: String,
        socket: Socket?,
    ) = check(chain) { platform.checkServerTrusted(chain, type, socket) }

    override fun checkServerTrusted(
        chain: Array<X509Certificate>,
        type: String,
        engine: SSLEngine?,
    ) = check(chain) { platform.checkServerTrusted(chain, type, engine) }

    override fun checkServerTrusted(
        chain: Array<X509Certificate>,
        type: String,
    ) = check(chain) { platform.checkServerTrusted(chain, type) }

    private fun check(
        chain: Array<X509Certificate>,
        byPlatform: () -> Unit,
    ) {
        val leaf = chain.firstOrNull() ?: throw CertificateRefused(Trouble.Untrusted)
        if (isPaired(leaf)) {
            outOfTime(leaf)?.let { throw CertificateRefused(it) }
            return
        }
        try {
            byPlatform()
        } catch (e: CertificateException) {
            throw CertificateRefused(if (fingerprint != null) Trouble.NotThePaired else outOfTime(leaf) ?: Trouble.Untrusted, e)
        }
    }

    private fun outOfTime(leaf: X509Certificate): Trouble? =
        try {
            leaf.checkValidity()
            null
        } catch (_: CertificateExpiredException) {
            Trouble.Expired
        } catch (_: CertificateNotYetValidException) {
            Trouble.ClockWrong
        }

    private fun isPaired(leaf: X509Certificate) = fingerprint != null && fingerprintOf(leaf).equals(fingerprint, ignoreCase = true)

    /** The paired certificate stands for its server under any name; every other names its host. */
    override fun verify(
        host: String,
        session: SSLSession,
    ): Boolean {
        val leaf =
            try {
                session.peerCertificates.firstOrNull() as? X509Certificate
            } catch (_: SSLException) {
                null
            }
        return ((leaf != null && isPaired(leaf)) || verifier.verify(host, session)).also { otherHost = !it }
    }

    override fun getAcceptedIssuers(): Array<X509Certificate> = platform.acceptedIssuers

    // A device is no server.

    override fun checkClientTrusted(
        chain: Array<X509Certificate>,
        type: String,
        socket: Socket?,
    ): Unit = throw CertificateException("no clients here")

    override fun checkClientTrusted(
        chain: Array<X509Certificate>,
        type: String,
        engine: SSLEngine?,
    ): Unit = throw CertificateException("no clients here")

    override fun checkClientTrusted(
        chain: Array<X509Certificate>,
        type: String,
    ): Unit = throw CertificateException("no clients here")

    companion object {
        /** SHA-256 of the certificate, 64 hexadecimal digits. */
        fun fingerprintOf(certificate: X509Certificate): String =
            MessageDigest.getInstance("SHA-256").digest(certificate.encoded).joinToString("") { "%02x".format(it) }

        /** What the platform trusts, or what [roots] hold. */
        fun ofPlatform(roots: KeyStore? = null): X509ExtendedTrustManager =
            TrustManagerFactory
                .getInstance(TrustManagerFactory.getDefaultAlgorithm())
                .apply { init(roots) }
                .trustManagers
                .filterIsInstance<X509ExtendedTrustManager>()
                .first()
    }
}
