package plinth.app.page

import android.graphics.Canvas
import android.graphics.Paint
import android.graphics.Path
import android.view.View
import plinth.app.look.Look
import plinth.app.look.hatch
import plinth.core.Chart
import plinth.core.ChartPath
import plinth.core.ChartPoint

/**
 * A chart of the core: ruled lines with their values, hatched areas, lines, square marks, and labels beside what they
 * name. Text keeps the lifter's size; what finds no room is left to the sentence, which a reader says whole.
 */
internal class ChartView(
    private val look: Look,
    private val chart: Chart,
) : View(look.context) {
    private val small = paint(look.soft)
    private val words = paint(look.ink)
    private val fill =
        Paint(Paint.ANTI_ALIAS_FLAG).apply {
            color = look.act
            style = Paint.Style.FILL
        }
    private val onFill = paint(look.onAct)
    private val ink = stroke(look.ink, 1.25f)
    private val strong = stroke(look.ink, 3f)
    private val rule = stroke(look.rule, 0.75f)
    private val ground =
        Paint().apply {
            color = look.ground
            style = Paint.Style.FILL
        }
    private val line = small.fontMetrics.run { descent - ascent }

    /** Where the field lies. */
    private var left = 0f
    private var right = 0f
    private var top = 0f
    private var foot = 0f

    init {
        contentDescription = "${chart.title}. ${chart.sentence}"
        isFocusable = true
    }

    private fun paint(colour: Int) =
        Paint(Paint.ANTI_ALIAS_FLAG).apply {
            color = colour
            textSize = look.sp(TEXT)
            fontFeatureSettings = Look.TABULAR
        }

    private fun stroke(
        colour: Int,
        width: Float,
    ) = Paint(Paint.ANTI_ALIAS_FLAG).apply {
        color = colour
        style = Paint.Style.STROKE
        strokeWidth = look.dp(width)
    }

    override fun onMeasure(
        widthSpec: Int,
        heightSpec: Int,
    ) {
        val width = MeasureSpec.getSize(widthSpec)
        val values = (chart.rules.map { it.label } + chart.unit).maxOfOrNull(small::measureText) ?: 0f
        val ends = chart.ends.maxOfOrNull { words.measureText(it.label) + look.dp(if (it.now) PAD * 2 else 0f) } ?: 0f
        left = values + look.dp(GAP)
        // Labels that would leave the field no room stand below it instead.
        endsBeside = chart.ends.isNotEmpty() && width - left - ends - look.dp(TIE) >= width * LEAST
        right = width - if (endsBeside) ends + look.dp(TIE) else look.dp(GAP)
        top = line * 1.6f
        foot = top + maxOf(look.dp(HEIGHT), line * (chart.rules.size + 1))
        val below = if (chart.ends.isNotEmpty() && !endsBeside) line * (1.4f * chart.ends.size + 0.8f) else 0f
        setMeasuredDimension(width, (foot + line * (if (chart.counted.isEmpty()) 1.7f else 2.9f) + below).toInt())
    }

    private var endsBeside = false

    private fun x(across: Int): Float {
        // A mark with words stays off the values at the left.
        val inset = if (chart.marks.any { it.label.isNotEmpty() }) look.dp(8) else 0f
        return left + inset + across / FIELD * (right - left - 2 * inset)
    }

    private fun y(up: Int) = foot - up / FIELD * (foot - top)

    private fun path(points: List<ChartPoint>) =
        Path().apply { points.forEachIndexed { i, p -> if (i == 0) moveTo(x(p.across), y(p.up)) else lineTo(x(p.across), y(p.up)) } }

    override fun onDraw(canvas: Canvas) {
        chart.areas.forEach { area(canvas, it) }
        canvas.drawText(chart.unit, left - look.dp(GAP) - small.measureText(chart.unit), line * 0.9f, small)
        for (r in chart.rules) {
            canvas.drawLine(left, y(r.place), right, y(r.place), rule)
            canvas.drawText(r.label, left - look.dp(GAP) - small.measureText(r.label), y(r.place) + line * 0.3f, small)
        }
        canvas.drawLine(left, foot, right, foot, ink)
        ticks(canvas)
        for (l in chart.lines) canvas.drawPath(path(l.points), if (l.strong) strong else ink)
        marks(canvas)
        ends(canvas)
    }

    private fun area(
        canvas: Canvas,
        area: ChartPath,
    ) {
        canvas.save()
        canvas.clipPath(path(area.points).apply { close() })
        canvas.hatch(left, top, right, foot, look.dp(6), rule)
        canvas.restore()
    }

    /** Days or counts on the foot; one that would touch the one before is left out. */
    private fun ticks(canvas: Canvas) {
        var free = Float.NEGATIVE_INFINITY
        for (tick in chart.ticks) {
            val at = x(tick.place)
            canvas.drawLine(at, foot, at, foot + look.dp(5), ink)
            val wide = small.measureText(tick.label)
            val from = (at - wide / 2).coerceIn(0f, (width - wide).coerceAtLeast(0f))
            if (from < free) continue
            canvas.drawText(tick.label, from, foot + look.dp(5) + line, small)
            free = from + wide + look.dp(GAP)
        }
        if (chart.counted.isNotEmpty()) {
            canvas.drawText(chart.counted, right - small.measureText(chart.counted), foot + look.dp(5) + line * 2.1f, small)
        }
    }

    private fun marks(canvas: Canvas) {
        val taken = mutableListOf<Pair<Float, Float>>()
        for (mark in chart.marks) {
            val (px, py) = x(mark.point.across) to y(mark.point.up)
            val half = look.dp(if (mark.filled) 3.5f else 2.5f)
            canvas.drawRect(px - half, py - half, px + half, py + half, if (mark.filled) words else ground)
            canvas.drawRect(px - half, py - half, px + half, py + half, ink)
            if (mark.label.isEmpty()) continue
            val wide = words.measureText(mark.label)
            val from = (px + look.dp(6)).coerceAtMost(right - wide)
            val base = (py - look.dp(6)).coerceAtLeast(line)
            // A label that would lie on another is left to the sentence.
            if (from < left || taken.any { (end, at) -> from < end && kotlin.math.abs(at - base) < line }) continue
            canvas.drawText(mark.label, from, base, words)
            taken += from + wide to base
        }
    }

    private fun ends(canvas: Canvas) {
        if (!endsBeside) {
            chart.ends.forEachIndexed { i, end -> end(canvas, end.label, end.now, left, foot + line * (3.1f + 1.4f * i)) }
            return
        }
        val places = chart.ends.map { y(it.up) }.toMutableList()
        repeat(32) {
            for (k in 1 until places.size) {
                val short = line * 1.4f - (places[k] - places[k - 1])
                if (short > 0.1f) {
                    places[k] += short / 2
                    places[k - 1] -= short / 2
                }
            }
        }
        chart.ends.zip(places).forEach { (end, place) ->
            canvas.drawLine(right, y(end.up), right + look.dp(TIE - 4), place, ink)
            end(canvas, end.label, end.now, right + look.dp(TIE - 2), place + line * 0.3f)
        }
    }

    private fun end(
        canvas: Canvas,
        label: String,
        now: Boolean,
        from: Float,
        base: Float,
    ) {
        if (!now) {
            canvas.drawText(label, from, base, words)
            return
        }
        val (wide, pad) = words.measureText(label) to look.dp(PAD)
        canvas.drawRect(from, base - line, from + wide + 2 * pad, base + line * 0.4f, fill)
        canvas.drawRect(from, base - line, from + wide + 2 * pad, base + line * 0.4f, ink)
        canvas.drawText(label, from + pad, base, onFill)
    }

    private companion object {
        /** What the core's lengths reach to. */
        const val FIELD = 10_000f
        const val TEXT = 15
        const val HEIGHT = 180f
        const val GAP = 6f
        const val PAD = 5f

        /** Between the field and the labels beside it, dp. */
        const val TIE = 16f

        /** The least share of the width that the field keeps. */
        const val LEAST = 0.45f
    }
}
