package plinth.app.look

import android.graphics.Canvas
import android.graphics.Paint
import android.view.View
import android.widget.LinearLayout

/** Draws slanting strokes within a box. */
internal fun Canvas.hatch(
    left: Float,
    top: Float,
    right: Float,
    bottom: Float,
    gap: Float,
    paint: Paint,
) {
    save()
    clipRect(left, top, right, bottom)
    val height = bottom - top
    var x = left - height
    while (x < right) {
        drawLine(x, bottom, x + height, top, paint)
        x += gap
    }
    restore()
}

/** The hatched band that says what can hurt. */
internal class Band(
    look: Look,
    head: String,
    texts: List<String>,
    sp: Number = 16,
) : LinearLayout(look.context) {
    private val paint =
        Paint(Paint.ANTI_ALIAS_FLAG).apply {
            color = look.ink
            strokeWidth = look.dp(2)
        }
    private val strip = look.dp(22)
    private val gap = look.dp(7)
    private val edge = look.dp(Look.RULE)

    init {
        orientation = VERTICAL
        setWillNotDraw(false)
        setPadding(look.px(32), look.px(8), 0, look.px(8))
        contentDescription = (listOf(head) + texts).joinToString(". ")
        isFocusable = true
        val first = look.text(head, sp, medium = true)
        addView(first)
        texts.forEach { addView(look.text(it, sp), lines(top = look.px(5))) }
        for (i in 0 until childCount) getChildAt(i).importantForAccessibility = View.IMPORTANT_FOR_ACCESSIBILITY_NO
    }

    override fun onDraw(canvas: Canvas) {
        canvas.hatch(0f, 0f, strip, height.toFloat(), gap, paint)
        canvas.drawRect(0f, 0f, width.toFloat(), edge, paint)
        canvas.drawRect(0f, height - edge, width.toFloat(), height.toFloat(), paint)
    }
}
