package plinth.app.floor

import android.util.TypedValue
import android.widget.TextView
import plinth.app.look.Look

/** A name in large type; where its longest word does not fit the width it is drawn narrower, and does not break. */
internal class Name(
    look: Look,
    name: String,
    size: Float,
) : TextView(look.context) {
    init {
        look.style(this, 20, medium = true)
        setTextSize(TypedValue.COMPLEX_UNIT_PX, size)
        setLineSpacing(0f, if (look.crowded) CLOSE else 1f)
        text = name
    }

    override fun onMeasure(
        widthSpec: Int,
        heightSpec: Int,
    ) {
        paint.textScaleX = 1f
        val word = text.split(' ').maxOf { paint.measureText(it) }
        val room = MeasureSpec.getSize(widthSpec).toFloat()
        if (MeasureSpec.getMode(widthSpec) != MeasureSpec.UNSPECIFIED && word > room) textScaleX = (room / word).coerceAtLeast(NARROWEST)
        super.onMeasure(widthSpec, heightSpec)
    }

    private companion object {
        /** As for figures. */
        const val NARROWEST = 0.72f

        /** Lines of large type as close as their letters allow (tried on pictures; no source). */
        const val CLOSE = 0.92f
    }
}
