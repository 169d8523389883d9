package plinth.app.floor

import android.graphics.Canvas
import android.graphics.Paint
import android.view.View
import plinth.app.look.Look
import plinth.core.DiscScreen

/** One end of the bar: the discs as outlines to scale, innermost first, the mass printed inside. */
internal class SleeveView(
    private val look: Look,
    private val discs: List<DiscScreen>,
) : View(look.context) {
    private val outline =
        Paint(Paint.ANTI_ALIAS_FLAG).apply {
            color = look.ink
            style = Paint.Style.STROKE
            strokeWidth = look.dp(2)
        }
    private val inked = Paint(Paint.ANTI_ALIAS_FLAG).apply { color = look.ink }
    private val print =
        Paint(Paint.ANTI_ALIAS_FLAG).apply {
            color = look.ink
            textSize = look.dp(PRINT)
            fontFeatureSettings = Look.TABULAR
            textAlign = Paint.Align.CENTER
        }

    init {
        // The words beside it say the same.
        importantForAccessibility = IMPORTANT_FOR_ACCESSIBILITY_NO
    }

    private fun widthOf(disc: DiscScreen) = maxOf(print.measureText(disc.label) + look.dp(8), look.dp(20))

    override fun onMeasure(
        widthSpec: Int,
        heightSpec: Int,
    ) = setMeasuredDimension(MeasureSpec.getSize(widthSpec), look.px(HEIGHT))

    override fun onDraw(canvas: Canvas) {
        val middle = height / 2f
        val bar = look.dp(4)
        val shoulder = look.dp(SHAFT)
        val gap = look.dp(3)
        val natural = discs.sumOf { widthOf(it).toDouble() + gap }.toFloat()
        val room = width - shoulder - look.dp(10) - look.dp(END)
        val shrink = if (natural > room) room / natural else 1f
        canvas.drawRect(0f, middle - bar / 2, shoulder, middle + bar / 2, inked)
        canvas.drawRect(shoulder, middle - look.dp(12), shoulder + look.dp(7), middle + look.dp(12), inked)
        var x = shoulder + look.dp(10)
        print.textScaleX = shrink.coerceAtLeast(NARROWEST)
        for (disc in discs) {
            val wide = widthOf(disc) * shrink
            val tall = (height - look.dp(4)) * disc.heightPerMille / PER_MILLE
            canvas.drawRect(x, middle - tall / 2, x + wide, middle + tall / 2, outline)
            if (wide > print.measureText(disc.label)) {
                canvas.drawText(disc.label, x + wide / 2, middle + print.textSize * CENTRE, print)
            }
            x += wide + gap * shrink
        }
        val thick = look.dp(8)
        canvas.drawRect(x, middle - thick / 2, (x + look.dp(END)).coerceAtMost(width.toFloat()), middle + thick / 2, inked)
    }

    private companion object {
        const val HEIGHT = 92f
        const val PER_MILLE = 1000f
        const val PRINT = 15f
        const val SHAFT = 40f
        const val END = 60f
        const val NARROWEST = 0.7f
        const val CENTRE = 0.36f
    }
}
