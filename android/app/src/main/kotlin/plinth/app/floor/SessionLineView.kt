package plinth.app.floor

import android.graphics.Canvas
import android.graphics.Paint
import android.view.View
import plinth.app.R
import plinth.app.look.Look
import plinth.core.LineScreen

/** The session as one ruled line: its pieces by their minutes, the part done inked, a tick for now. */
internal class SessionLineView(
    private val look: Look,
) : View(look.context) {
    private val outline =
        Paint(Paint.ANTI_ALIAS_FLAG).apply {
            color = look.ink
            style = Paint.Style.STROKE
            strokeWidth = look.dp(Look.RULE)
        }
    private val inked = Paint(Paint.ANTI_ALIAS_FLAG).apply { color = look.ink }
    private var line: LineScreen? = null

    fun show(new: LineScreen) {
        if (new == line) return
        line = new
        val pieces = new.pieces.joinToString(", ") { it.label }
        contentDescription = "${context.getString(R.string.session_line)}: $pieces. ${new.ends}"
        invalidate()
    }

    override fun onMeasure(
        widthSpec: Int,
        heightSpec: Int,
    ) = setMeasuredDimension(MeasureSpec.getSize(widthSpec), look.px(HEIGHT))

    override fun onDraw(canvas: Canvas) {
        val line = line ?: return
        val unit = width / PER_MILLE
        val (top, bottom) = look.dp(HEIGHT / 2 - THICK / 2) to look.dp(HEIGHT / 2 + THICK / 2)
        val half = outline.strokeWidth / 2
        var from = 0
        for (piece in line.pieces) {
            val left = from * unit
            from += piece.perMille
            val right = (from * unit - look.dp(GAP)).coerceAtLeast(left + look.dp(1))
            canvas.drawRect(left + half, top, right - half, bottom, outline)
            if (piece.donePerMille > 0) {
                canvas.drawRect(left, top, (left + piece.donePerMille * unit).coerceAtMost(right), bottom, inked)
            }
        }
        val tick = look.dp(TICK)
        val x = (line.nowPerMille * unit).coerceIn(tick / 2, width - tick / 2)
        canvas.drawRect(x - tick / 2, look.dp(2), x + tick / 2, look.dp(HEIGHT - 2), inked)
    }

    private companion object {
        const val PER_MILLE = 1000f
        const val HEIGHT = 30f
        const val THICK = 10f
        const val GAP = 4f
        const val TICK = 3f
    }
}
