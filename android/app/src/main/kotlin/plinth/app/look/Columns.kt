package plinth.app.look

import android.view.ViewGroup
import kotlin.math.ceil

/**
 * Buttons in columns of one width, as many as fit without breaking a word; rows of one height. [mirrored] fills each
 * row from the other side. One that is gone takes no place.
 */
internal class Columns(
    private val look: Look,
    private val most: Int,
    private val lines: Int = 2,
    private val mirrored: Boolean = false,
) : ViewGroup(look.context) {
    private var columns = 1
    private var heights = IntArray(0)
    private val gap = look.px(8)
    private val shown get() = (0 until childCount).map(::getChildAt).filter { it.visibility != GONE }

    private fun wanted(width: Int): Int {
        val widest = shown.maxOfOrNull { (it as? WordButton)?.let(::least) ?: 0 } ?: 0
        val fitting = (most downTo 1).firstOrNull { (width - gap * (it - 1)) / it >= widest } ?: 1
        // The last row is filled as well as the others, where fewer columns do not cost a row.
        val rows = ceil(shown.size / fitting.toFloat()).toInt().coerceAtLeast(1)
        return ceil(shown.size / rows.toFloat()).toInt().coerceIn(1, fitting)
    }

    /** Where a column begins; what does not divide is shared out. */
    private fun edge(
        column: Int,
        width: Int,
    ) = column * (width + gap) / columns

    private fun widthAt(
        column: Int,
        width: Int,
    ) = (if (mirrored) columns - 1 - column else column).let { edge(it + 1, width) - gap - edge(it, width) }

    private fun exactly(size: Int) = MeasureSpec.makeMeasureSpec(size, MeasureSpec.EXACTLY)

    private fun least(button: WordButton) = if (lines > 2) button.leastWidth() else button.widthForLines(lines)

    override fun onMeasure(
        widthSpec: Int,
        heightSpec: Int,
    ) {
        val width = MeasureSpec.getSize(widthSpec)
        columns = wanted(width)
        heights = IntArray(ceil(shown.size / columns.toFloat()).toInt())
        shown.forEachIndexed { i, child ->
            child.measure(exactly(widthAt(i % columns, width)), MeasureSpec.UNSPECIFIED)
            heights[i / columns] = maxOf(heights[i / columns], child.measuredHeight)
        }
        shown.forEachIndexed { i, child ->
            child.measure(exactly(widthAt(i % columns, width)), exactly(heights[i / columns]))
        }
        setMeasuredDimension(width, heights.sum() + gap * (heights.size - 1).coerceAtLeast(0))
    }

    override fun onLayout(
        changed: Boolean,
        l: Int,
        t: Int,
        r: Int,
        b: Int,
    ) {
        var top = 0
        shown.forEachIndexed { i, child ->
            val (row, column) = i / columns to i % columns
            if (column == 0 && row > 0) top += heights[row - 1] + gap
            val at = if (mirrored) columns - 1 - column else column
            val left = edge(at, r - l)
            child.layout(left, top, left + child.measuredWidth, top + child.measuredHeight)
        }
    }
}
