package plinth.app.phone

import android.content.Context
import android.media.AudioAttributes
import android.media.AudioFocusRequest
import android.media.AudioManager
import android.speech.tts.TextToSpeech
import android.speech.tts.UtteranceProgressListener
import java.util.Locale

/** Says a line aloud; a new one replaces the one being said. */
internal class Speaker(
    private val context: Context,
    private val locale: () -> Locale,
) {
    private val audio = context.service<AudioManager>()
    private val speech =
        AudioAttributes
            .Builder()
            .setUsage(AudioAttributes.USAGE_ASSISTANCE_ACCESSIBILITY)
            .setContentType(AudioAttributes.CONTENT_TYPE_SPEECH)
            .build()
    private val focus =
        AudioFocusRequest
            .Builder(AudioManager.AUDIOFOCUS_GAIN_TRANSIENT_MAY_DUCK)
            .setAudioAttributes(speech)
            .build()
    private var engine: TextToSpeech? = null
    private var ready = false
    private var waiting: String? = null

    fun say(line: String) {
        val engine = engine ?: TextToSpeech(context) { status -> begun(status) }.also { engine = it }
        if (!ready) {
            waiting = line
            return
        }
        engine.language = locale()
        audio.requestAudioFocus(focus)
        engine.speak(line, TextToSpeech.QUEUE_FLUSH, null, "line")
    }

    private fun begun(status: Int) {
        ready = status == TextToSpeech.SUCCESS
        if (!ready) return
        engine?.setAudioAttributes(speech)
        engine?.setOnUtteranceProgressListener(
            object : UtteranceProgressListener() {
                override fun onStart(id: String?) = Unit

                override fun onDone(id: String?) {
                    audio.abandonAudioFocusRequest(focus)
                }

                @Deprecated("The platform still calls it.")
                override fun onError(id: String?) {
                    audio.abandonAudioFocusRequest(focus)
                }
            },
        )
        waiting?.let(::say)
        waiting = null
    }
}
