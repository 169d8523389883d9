package plinth.app.page

import android.graphics.Canvas
import android.graphics.Paint
import android.view.View
import android.view.ViewGroup
import android.widget.TextView
import plinth.app.look.Look
import plinth.core.Block

/**
 * A table with ruled rows. A column is as wide as what stands in it, where there is room, and never so narrow that a
 * word breaks; where even that is too wide, each row stands as lines that name their column.
 */
internal class TableView(
    private val look: Look,
    table: Block.Table,
) : ViewGroup(look.context) {
    private class Row(
        val cells: List<TextView>,
        val lines: TextView?,
    )

    private val gap = look.px(8)
    private val pad = look.px(6)
    private val rule = Paint().apply { color = look.rule }
    private val columns = maxOf(table.heads.size, table.rows.maxOfOrNull { it.cells.size } ?: 0)
    private val head = row(table.heads, null)
    private val rows = table.rows.map { row(it.cells, table.heads) }
    private var widths = IntArray(0)
    private var tops = listOf<Int>()

    init {
        setWillNotDraw(false)
    }

    private fun row(
        cells: List<String>,
        heads: List<String>?,
    ): Row {
        val named =
            heads?.let {
                cells.mapIndexed {
                    i,
                    cell,
                    ->
                    listOfNotNull(it.getOrNull(i), cell).filter(String::isNotEmpty).joinToString(": ")
                }
            }
        val views =
            cells.mapIndexed { i, cell ->
                look.text(cell, 14, medium = heads == null, colour = if (heads == null) look.soft else look.ink).also {
                    // The first cell of a row says the row; the heads are said with each.
                    it.importantForAccessibility =
                        if (named != null && i == 0) IMPORTANT_FOR_ACCESSIBILITY_YES else IMPORTANT_FOR_ACCESSIBILITY_NO
                    if (named != null && i == 0) it.contentDescription = named.joinToString(". ")
                    addView(it)
                }
            }
        val lines = named?.let { look.text(it.joinToString("\n"), 15).also(::addView) }
        return Row(views, lines)
    }

    private fun natural(view: TextView) =
        view.text
            .lines()
            .maxOf { view.paint.measureText(it) }
            .toInt() + 1

    private fun word(view: TextView) =
        view.text
            .split(' ', '\n')
            .maxOf { view.paint.measureText(it) }
            .toInt() + 1

    /** The columns' widths; none where they do not fit. */
    private fun fit(width: Int): IntArray? {
        val all = rows + head
        val room = width - gap * (columns - 1)

        fun widest(of: (TextView) -> Int) = IntArray(columns) { i -> all.maxOf { row -> row.cells.getOrNull(i)?.let(of) ?: 0 } }
        val (least, whole) = widest(::word) to widest(::natural)
        if (least.sum() > room) return null
        val spare = room - least.sum()
        val wanted = whole.sum() - least.sum()
        return IntArray(columns) { i ->
            val share = whole[i] - least[i]
            least[i] + if (wanted <= spare) share + (spare - wanted) / columns else (share.toLong() * spare / wanted).toInt()
        }
    }

    override fun onMeasure(
        widthSpec: Int,
        heightSpec: Int,
    ) {
        val width = MeasureSpec.getSize(widthSpec)
        widths = fit(width) ?: IntArray(0)
        val stacked = widths.isEmpty()
        var top = 0
        tops =
            (listOf(head) + rows).map { row ->
                val at = top
                row.cells.forEachIndexed { i, cell ->
                    cell.visibility = if (stacked) GONE else VISIBLE
                    if (!stacked) measure(cell, widths[i])
                }
                row.lines?.let {
                    it.visibility = if (stacked) VISIBLE else GONE
                    if (stacked) measure(it, width)
                }
                val height = if (stacked) row.lines?.measuredHeight ?: 0 else row.cells.maxOfOrNull { it.measuredHeight } ?: 0
                top += height + 2 * pad
                at
            }
        setMeasuredDimension(width, top)
    }

    private fun measure(
        view: View,
        width: Int,
    ) = view.measure(MeasureSpec.makeMeasureSpec(width, MeasureSpec.EXACTLY), MeasureSpec.UNSPECIFIED)

    override fun onLayout(
        changed: Boolean,
        l: Int,
        t: Int,
        r: Int,
        b: Int,
    ) {
        (listOf(head) + rows).forEachIndexed { n, row ->
            val top = tops[n] + pad
            if (widths.isEmpty()) {
                row.lines?.let { it.layout(0, top, it.measuredWidth, top + it.measuredHeight) }
            } else {
                var left = 0
                row.cells.forEachIndexed { i, cell ->
                    cell.layout(left, top, left + cell.measuredWidth, top + cell.measuredHeight)
                    left += widths[i] + gap
                }
            }
        }
    }

    override fun onDraw(canvas: Canvas) {
        for (top in tops.drop(1)) canvas.drawRect(0f, top.toFloat(), width.toFloat(), top + look.dp(1), rule)
    }
}
