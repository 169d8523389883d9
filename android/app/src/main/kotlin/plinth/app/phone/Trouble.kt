package plinth.app.phone

import android.content.Context
import plinth.app.R

/** Why no answer of the server's was taken, where that is more than a lost connection. */
internal sealed class Trouble(
    private val problem: Int,
    private val remedy: Int,
) {
    /** The certificate's time is over, by this device's clock. */
    data object Expired : Trouble(R.string.certificate_expired, R.string.certificate_expired_remedy)

    /** The certificate's time has not begun, by this device's clock. */
    data object ClockWrong : Trouble(R.string.certificate_early, R.string.certificate_early_remedy)

    /** The certificate is good, for another host. */
    data object OtherHost : Trouble(R.string.certificate_other_host, R.string.check_address)

    /** It is not the server that this device was paired with. */
    data object NotThePaired : Trouble(R.string.certificate_not_paired, R.string.certificate_not_paired_remedy)

    /** Nobody whom the platform trusts has signed the certificate, and pairing brought none. */
    data object Untrusted : Trouble(R.string.certificate_untrusted, R.string.certificate_untrusted_remedy)

    /** The address is none, or one to which the record would travel for all to read. */
    data object Address : Trouble(R.string.address_refused, R.string.address_refused_remedy)

    /** The answer is longer than any that the protocol has. */
    data object TooLong : Trouble(R.string.answer_too_long, R.string.answer_too_long_remedy)

    /** What is wrong and what to do, in the words of [context]'s language. */
    fun said(context: Context): String = "${context.getString(problem)} ${context.getString(remedy)}"
}
