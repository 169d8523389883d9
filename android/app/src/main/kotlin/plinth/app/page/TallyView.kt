package plinth.app.page

import android.graphics.Canvas
import android.graphics.Paint
import android.view.View
import plinth.app.look.Look
import plinth.app.look.hatch
import plinth.core.Tally

/**
 * Weekly sets as strokes against a hatched range: long ones for direct sets, short ones after them for shared work, a
 * half-set each, so that a place is as wide as what it counts. [most] half-sets fill the width.
 */
internal class TallyView(
    private val look: Look,
    private val tally: Tally,
    private val most: Int,
) : View(look.context) {
    private val ink = Paint(Paint.ANTI_ALIAS_FLAG).apply { color = look.ink }
    private val hatching =
        Paint(Paint.ANTI_ALIAS_FLAG).apply {
            color = look.rule
            strokeWidth = look.dp(1.2f)
        }

    init {
        importantForAccessibility = IMPORTANT_FOR_ACCESSIBILITY_NO
    }

    override fun onMeasure(
        widthSpec: Int,
        heightSpec: Int,
    ) = setMeasuredDimension(MeasureSpec.getSize(widthSpec), look.px(HEIGHT))

    override fun onDraw(canvas: Canvas) {
        val half = width / most.coerceAtLeast(1).toFloat()
        val (top, bottom) = look.dp(2) to look.dp(HEIGHT - 2)
        canvas.hatch(tally.lowHalfSets * half, top, tally.highHalfSets * half, bottom, look.dp(6), hatching)
        val long = look.dp(LONG).coerceAtMost(half)
        val short = look.dp(SHORT).coerceAtMost(half)
        // A direct set has two halves; an odd half stands as a short stroke of its own.
        for (set in 0 until tally.directHalfSets / 2) {
            val x = (2 * set + 1) * half
            canvas.drawRect(x - long / 2, top + look.dp(1), x + long / 2, bottom - look.dp(1), ink)
        }
        val direct = tally.directHalfSets / 2 * 2
        for (set in direct until tally.directHalfSets + tally.sharedHalfSets) {
            val x = (set + 0.5f) * half
            canvas.drawRect(x - short / 2, (top + bottom) / 2, x + short / 2, bottom - look.dp(1), ink)
        }
    }

    companion object {
        private const val HEIGHT = 24f
        private const val LONG = 3.2f
        private const val SHORT = 1.8f

        /** Half-sets that the width must hold, so that all tallies of a page have one scale. */
        fun most(tallies: List<Tally>): Int = tallies.maxOfOrNull { maxOf(it.highHalfSets, it.directHalfSets + it.sharedHalfSets) } ?: 1
    }
}
