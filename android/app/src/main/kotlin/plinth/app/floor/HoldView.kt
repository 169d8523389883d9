package plinth.app.floor

import android.widget.FrameLayout
import plinth.app.R
import plinth.app.look.Look
import plinth.app.phone.Moments
import plinth.core.Moment

/** The seconds of a hold that is being counted, in figures as large as a load's. [beat] is called at each of them. */
internal class HoldView(
    look: Look,
    private val moments: Moments,
    tall: Float,
    private val beat: () -> Unit,
) : FrameLayout(look.context) {
    private val figures = Figures(look, tall, tall / 2, medium = true)
    private var began: Moment? = null
    private val next = Runnable { count(told = true) }

    init {
        figures.spoken = { held().let { resources.getQuantityString(R.plurals.seconds_held, it, it) } }
        addView(figures)
    }

    fun show(new: Moment) {
        began = new
        count(told = false)
    }

    private fun ms() = began?.let(moments::since)?.coerceAtLeast(0) ?: 0

    private fun held() = (ms() / MS).toInt()

    private fun count(told: Boolean) {
        removeCallbacks(next)
        figures.text = "%d:%02d".format(held() / MINUTE, held() % MINUTE)
        if (told) beat()
        if (isAttachedToWindow) postDelayed(next, MS - ms() % MS)
    }

    override fun onAttachedToWindow() {
        super.onAttachedToWindow()
        count(told = false)
    }

    override fun onDetachedFromWindow() {
        removeCallbacks(next)
        super.onDetachedFromWindow()
    }

    private companion object {
        const val MS = 1000L
        const val MINUTE = 60
    }
}
