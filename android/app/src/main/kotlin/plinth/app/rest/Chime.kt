package plinth.app.rest

import android.content.Context
import android.media.AudioAttributes
import android.media.AudioFocusRequest
import android.media.AudioFormat
import android.media.AudioManager
import android.media.AudioTrack
import android.os.Build
import android.os.Handler
import android.os.Looper
import android.os.VibrationAttributes
import android.os.VibrationEffect
import android.os.Vibrator
import android.os.VibratorManager
import plinth.app.phone.service
import kotlin.math.PI
import kotlin.math.exp
import kotlin.math.sin

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
        val track = track()
        track.play()
        hands.postDelayed({
            track.release()
            audio.abandonAudioFocusRequest(focus)
            done()
        }, RING_MS + SLACK_MS)
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

    /** Two notes, a fifth apart, that die away. */
    private fun track(): AudioTrack {
        val frames = (RATE * RING_MS / MS).toInt()
        val wave =
            ShortArray(frames) { i ->
                val (note, at) = if (i < frames / 2) LOW to i else LOW * FIFTH to i - frames / 2
                (sin(2 * PI * note * at / RATE) * exp(-DECAY * at / RATE) * Short.MAX_VALUE * LOUD).toInt().toShort()
            }
        val format =
            AudioFormat
                .Builder()
                .setEncoding(AudioFormat.ENCODING_PCM_16BIT)
                .setSampleRate(RATE)
                .setChannelMask(AudioFormat.CHANNEL_OUT_MONO)
                .build()
        return AudioTrack
            .Builder()
            .setAudioAttributes(sounds)
            .setAudioFormat(format)
            .setTransferMode(AudioTrack.MODE_STATIC)
            .setBufferSizeInBytes(frames * 2)
            .build()
            .apply { write(wave, 0, frames) }
    }

    companion object {
        const val RING_MS = 700L
        const val TOUCH_MS = 30L
        private const val SLACK_MS = 200L
        private const val RATE = 44_100
        private const val MS = 1000
        private const val LOW = 587.33
        private const val FIFTH = 1.5
        private const val DECAY = 5.0
        private const val LOUD = 0.6
    }
}
