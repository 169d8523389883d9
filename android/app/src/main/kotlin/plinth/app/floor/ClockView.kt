package plinth.app.floor

import android.view.View
import android.widget.LinearLayout
import android.widget.TextView
import plinth.app.R
import plinth.app.look.Look
import plinth.app.look.column
import plinth.app.look.lines
import plinth.app.phone.Moments
import plinth.core.ClockScreen

/** The rest clock: counts down to an end that the core set, and says once that it is there. */
internal class ClockView(
    private val look: Look,
    private val moments: Moments,
    private val over: () -> Unit,
) : LinearLayout(look.context) {
    /** What it is: stands over the figures, and gives way before them. */
    val label: TextView = look.text("", 18, colour = look.soft)
    private val figures = look.mm(if (look.crowded) CROWDED_MM else MM).let { Figures(look, it, it / 2, medium = true) }

    /** Read aloud by a screen reader when it changes, and it changes at the marks alone. */
    private val mark: TextView =
        look.text("", 1).apply {
            setTextColor(look.ground)
            accessibilityLiveRegion = View.ACCESSIBILITY_LIVE_REGION_POLITE
        }
    private var clock: ClockScreen? = null
    private var told = false
    private val beat = Runnable { tick() }

    init {
        orientation = VERTICAL
        figures.spoken = { words(left()) }
        addView(figures)
        addView(mark, lines(height = 1))
    }

    fun show(new: ClockScreen) {
        if (new != clock) {
            clock = new
            told = false
            label.text = new.label
        }
        tick()
    }

    private fun left() = clock?.let(moments::left) ?: 0

    /** Whole seconds: what is left of one is one. */
    private fun seconds(ms: Long) = ((ms.coerceAtLeast(0) + MS - 1) / MS).toInt()

    private fun tick() {
        removeCallbacks(beat)
        val ms = left()
        val seconds = seconds(ms)
        figures.text = "%d:%02d".format(seconds / MINUTE, seconds % MINUTE)
        if (seconds in MARKS) mark.text = words(ms)
        if (ms <= 0) {
            if (!told) {
                told = true
                over()
            }
        } else if (isAttachedToWindow) {
            postDelayed(beat, (ms - 1) % MS + 1)
        }
    }

    private fun words(ms: Long): String {
        val seconds = seconds(ms)
        val (plural, n) =
            if (seconds >= MINUTE &&
                seconds % MINUTE == 0
            ) {
                R.plurals.minutes_left to seconds / MINUTE
            } else {
                R.plurals.seconds_left to seconds
            }
        return resources.getQuantityString(plural, n, n)
    }

    override fun onAttachedToWindow() {
        super.onAttachedToWindow()
        tick()
    }

    override fun onDetachedFromWindow() {
        removeCallbacks(beat)
        super.onDetachedFromWindow()
    }

    private companion object {
        /** At least 12.8 mm for two metres (ISO 9241-303); there is room for more. */
        const val MM = 14.6f
        const val CROWDED_MM = 13.2f
        const val MS = 1000
        const val MINUTE = 60

        /** Seconds at which the time left is said: common practice, no source. */
        val MARKS = setOf(60, 30, 10)
    }
}
