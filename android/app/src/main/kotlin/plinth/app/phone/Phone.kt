package plinth.app.phone

import android.content.Context
import android.content.res.Configuration
import plinth.app.rest.Chime
import plinth.app.rest.Notices
import plinth.app.rest.RestAlarm
import plinth.core.Language
import java.util.Locale

/** What only this device can do, in one place. */
internal class Phone(
    private val context: Context,
) {
    /** The language of the record, once that is known. */
    var language: Language? = null
    val moments = Moments(context)
    val alarm = RestAlarm(context, moments)
    val chime = Chime(context)
    val notices = Notices(context) { speaking(context) }
    val vault = Vault(context)
    val speaker = Speaker(context) { locale() }

    /** The language that the platform is set to, where it is one of ours. */
    fun platformLanguage(): Language =
        if (context.resources.configuration.locales[0]
                .language == "de"
        ) {
            Language.GERMAN
        } else {
            Language.ENGLISH
        }

    private fun locale(): Locale =
        when (language ?: platformLanguage()) {
            Language.ENGLISH -> Locale.ENGLISH
            Language.GERMAN -> Locale.GERMAN
        }

    /** The same context with the shell's own words in the record's language. */
    fun speaking(of: Context): Context {
        val configuration = Configuration(of.resources.configuration)
        configuration.setLocale(locale())
        return of.createConfigurationContext(configuration)
    }
}
