package plinth.app.floor

import android.graphics.Canvas
import android.graphics.Paint
import android.graphics.Rect
import android.view.View
import android.view.accessibility.AccessibilityNodeInfo
import plinth.app.look.Look
import kotlin.math.ceil

/**
 * A line whose figures stand [tall] pixels high and whose words are smaller, made narrower where the width asks for
 * it, and broken at a blank where even that is not enough. The height of its figures never gives way.
 */
internal class Figures(
    private val look: Look,
    val tall: Float,
    val words: Float,
    val medium: Boolean = false,
) : View(look.context) {
    private class Run(
        val text: String,
        val figure: Boolean,
    )

    private val figure = paint(medium, sizeFor(tall, medium))
    private val letter = paint(false, minOf(sizeFor(words, false), figure.textSize))
    private var rows: List<List<Run>> = emptyList()
    private var squeeze = 1f

    /** What it shows. */
    var text: String = ""
        set(value) {
            if (field == value) return
            field = value
            if (spoken == null) contentDescription = value
            requestLayout()
            invalidate()
        }

    /** What a screen reader says when it is asked, where that is not the text; a change of the text is silent then. */
    var spoken: (() -> String)? = null
        set(value) {
            field = value
            importantForAccessibility = IMPORTANT_FOR_ACCESSIBILITY_YES
        }

    override fun onInitializeAccessibilityNodeInfo(info: AccessibilityNodeInfo) {
        super.onInitializeAccessibilityNodeInfo(info)
        spoken?.let { info.contentDescription = it() }
    }

    private fun paint(
        medium: Boolean,
        size: Float,
    ) = Paint(Paint.ANTI_ALIAS_FLAG).apply {
        color = look.ink
        typeface = if (medium) Look.MEDIUM else android.graphics.Typeface.SANS_SERIF
        fontFeatureSettings = Look.TABULAR
        textSize = size
    }

    /** The size of type at which a nought is as tall as asked. */
    private fun sizeFor(
        height: Float,
        medium: Boolean,
    ): Float {
        val probe = paint(medium, PROBE)
        val box = Rect().also { probe.getTextBounds("0", 0, 1, it) }
        return PROBE * height / box.height()
    }

    private fun runs(text: String): List<Run> {
        val all = mutableListOf<Run>()
        // A number keeps its sign, its point and its colon; a word keeps its blanks.
        for (piece in PIECES.findAll(text)) all += Run(piece.value, piece.value[0].isDigit())
        return all
    }

    private fun width(runs: List<Run>) = runs.sumOf { (if (it.figure) figure else letter).measureText(it.text).toDouble() }.toFloat()

    /** Breaks before a number, where there is one. */
    private fun broken(
        runs: List<Run>,
        room: Float,
    ): List<List<Run>> {
        val out = mutableListOf<MutableList<Run>>(mutableListOf())
        for (run in runs) {
            if (out.last().isNotEmpty() && width(out.last() + run) > room) out += mutableListOf<Run>()
            out.last() += if (out.last().isEmpty()) Run(run.text.trimStart(), run.figure) else run
        }
        return out
    }

    override fun onMeasure(
        widthSpec: Int,
        heightSpec: Int,
    ) {
        val room =
            if (MeasureSpec.getMode(widthSpec) ==
                MeasureSpec.UNSPECIFIED
            ) {
                Float.MAX_VALUE
            } else {
                MeasureSpec.getSize(widthSpec).toFloat()
            }
        squeeze = 1f
        setSqueeze()
        val whole = runs(text)
        rows = listOf(whole)
        if (width(whole) > room) {
            squeeze = (room / width(whole)).coerceAtLeast(NARROWEST)
            setSqueeze()
            if (width(whole) > room) {
                // On rows of its own each has more room, and is made narrow only as far as the widest asks for.
                squeeze = 1f
                setSqueeze()
                rows = broken(whole, room)
                squeeze = (room / rows.maxOf(::width)).coerceIn(NARROWEST, 1f)
                setSqueeze()
            }
        }
        val exact = MeasureSpec.getMode(widthSpec) == MeasureSpec.EXACTLY
        val wide = if (exact) room else (rows.maxOfOrNull(::width) ?: 0f).coerceAtMost(room)
        setMeasuredDimension(ceil(wide).toInt(), ceil(rows.sumOf { rowHeight(it).toDouble() }).toInt())
    }

    private fun setSqueeze() {
        figure.textScaleX = squeeze
        letter.textScaleX = squeeze
    }

    /** From the top of a row to the foot of its letters. */
    private fun baseline(row: List<Run>) = (if (row.any { it.figure }) tall else words) * OVER

    /** Letters with tails have room for them. */
    private fun rowHeight(row: List<Run>) =
        baseline(row) + maxOf(if (row.any { it.figure }) tall * UNDER else 0f, if (row.all { it.figure }) 0f else words * TAIL)

    override fun onDraw(canvas: Canvas) {
        var top = 0f
        for (row in rows) {
            val baseline = top + baseline(row)
            var x = 0f
            for (run in row) {
                val paint = if (run.figure) figure else letter
                canvas.drawText(run.text, x, baseline, paint)
                x += paint.measureText(run.text)
            }
            top += rowHeight(row)
        }
    }

    private companion object {
        const val PROBE = 1000f

        /** Below this narrowing, figures are hard to read from afar (tried on pictures; no source). */
        const val NARROWEST = 0.72f
        const val OVER = 1.12f
        const val UNDER = 0.12f

        /** Height of a tail in parts of a nought's. */
        const val TAIL = 0.32f
        val PIECES = Regex("""\d[\d.,:]*|[^\d]+""")
    }
}
