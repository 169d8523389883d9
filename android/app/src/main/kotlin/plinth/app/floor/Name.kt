package plinth.app.floor

import android.text.Layout
import android.util.TypedValue
import android.widget.TextView
import plinth.app.look.Look

/**
 * A name in large type; where its longest word does not fit the width it is drawn narrower, and does not break. In a
 * crowded window it is narrower too where that saves a line.
 */
internal class Name(
    private val look: Look,
    name: String,
    size: Float,
) : TextView(look.context) {
    init {
        look.style(this, 20, medium = true)
        setTextSize(TypedValue.COMPLEX_UNIT_PX, size)
        setLineSpacing(0f, CLOSE)
        breakStrategy = Layout.BREAK_STRATEGY_SIMPLE
        text = name
    }

    override fun onMeasure(
        widthSpec: Int,
        heightSpec: Int,
    ) {
        paint.textScaleX = 1f
        // A pixel more, since the platform rounds.
        val word = text.split(' ').maxOf { paint.measureText(it) } + 1
        val room = MeasureSpec.getSize(widthSpec).toFloat()
        if (MeasureSpec.getMode(widthSpec) != MeasureSpec.UNSPECIFIED) {
            val whole = (room / word).coerceIn(NARROWEST, 1f)
            // Narrow type is not narrower by quite the same part everywhere.
            textScaleX = if (look.crowded) saving(room - look.px(SPARE), whole) else whole
        }
        super.onMeasure(widthSpec, heightSpec)
    }

    /** The widest that needs as few lines as the narrowest does. */
    private fun saving(
        room: Float,
        widest: Float,
    ): Float {
        val fewest = lines(room / NARROWEST)
        return generateSequence(widest) { it - STEP }.takeWhile { it > NARROWEST }.firstOrNull { lines(room / it) == fewest } ?: NARROWEST
    }

    /** How many lines there are in so much room, at the type's own width. */
    private fun lines(room: Float): Int {
        val blank = paint.measureText(" ")
        var (lines, x) = 1 to 0f
        for (word in text.split(' ').map { paint.measureText(it) + 1 }) {
            if (x > 0 && x + blank + word > room) {
                lines++
                x = word
            } else {
                x += if (x > 0) blank + word else word
            }
        }
        return lines
    }

    private companion object {
        const val STEP = 0.01f
        const val SPARE = 4

        /** As for figures. */
        const val NARROWEST = 0.72f

        /** Lines of large type as close as their letters allow (tried on pictures; no source). */
        const val CLOSE = 0.92f
    }
}
