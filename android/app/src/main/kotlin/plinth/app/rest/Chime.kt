package plinth.app.rest

import android.content.Context
import android.media.AudioAttributes
import android.media.AudioFocusRequest
import android.media.AudioManager
import android.media.ToneGenerator
import android.os.Build
import android.os.Handler
import android.os.Looper
import android.os.VibrationAttributes
import android.os.VibrationEffect
import android.os.Vibrator
import android.os.VibratorManager
import plinth.app.phone.service

/** Sounds and vibrates once. Music is lowered meanwhile, and comes back. */
internal class Chime(
    context: Context,
) {
    private val audio = context.service<AudioManager>()
    private val hands = Handler(Looper.getMainLooper())
    private val vibrator: Vibrator =
        if (Build.VERSION.SDK_INT >= Build.VERSION_CODES.S) {
            context.service<VibratorManager>().defaultVibrator
        } else {
            @Suppress("DEPRECATION")
            context.service<Vibrator>()
        }
    private val sounds =
        AudioAttributes
            .Builder()
            .setUsage(AudioAttributes.USAGE_ALARM)
            .setContentType(AudioAttributes.CONTENT_TYPE_SONIFICATION)
            .build()

    /** A rest is over; [done] when all of it is. */
    fun ring(done: () -> Unit) {
        vibrate(RING_MS)
        val focus =
            AudioFocusRequest
                .Builder(AudioManager.AUDIOFOCUS_GAIN_TRANSIENT_MAY_DUCK)
                .setAudioAttributes(sounds)
                .build()
        audio.requestAudioFocus(focus)
        val tone = tone()
        tone?.startTone(ToneGenerator.TONE_PROP_BEEP2, RING_MS.toInt())
        hands.postDelayed({
            tone?.release()
            audio.abandonAudioFocusRequest(focus)
            done()
        }, RING_MS + SLACK_MS)
    }

    /** The platform's tones, on the alarm's stream; none where it has none to give, and then it vibrates alone. */
    private fun tone(): ToneGenerator? =
        try {
            ToneGenerator(AudioManager.STREAM_ALARM, LOUD)
        } catch (_: RuntimeException) {
            null
        }

    /** A touch was taken. */
    fun touch() = vibrate(TOUCH_MS)

    private fun vibrate(ms: Long) {
        val once = VibrationEffect.createOneShot(ms, VibrationEffect.DEFAULT_AMPLITUDE)
        if (Build.VERSION.SDK_INT >= Build.VERSION_CODES.TIRAMISU) {
            vibrator.vibrate(once, VibrationAttributes.createForUsage(VibrationAttributes.USAGE_ALARM))
        } else {
            @Suppress("DEPRECATION")
            vibrator.vibrate(once, sounds)
        }
    }

    companion object {
        const val RING_MS = 700L
        const val TOUCH_MS = 30L
        private const val SLACK_MS = 200L

        /** Of a hundred. */
        private const val LOUD = 90
    }
}
