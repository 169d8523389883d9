package plinth.app.look

import android.view.View
import android.view.ViewGroup

/**
 * A column whose children give way where there is no room for all: those with the greatest [yields] first, those that
 * share one together, and those without one never. What does not fit even then goes past the end, and the parent
 * scrolls.
 */
internal class Yielding(
    look: Look,
) : ViewGroup(look.context) {
    private class Place(
        val top: Int,
        val yields: Int,
    ) : LayoutParams(MATCH_PARENT, WRAP_CONTENT)

    /** The height that there is. */
    var room: Int = Int.MAX_VALUE
        set(value) {
            if (field != value) {
                field = value
                requestLayout()
            }
        }

    fun add(
        view: View,
        top: Int = 0,
        yields: Int = NEVER,
    ) = addView(view, Place(top, yields))

    override fun onMeasure(
        widthSpec: Int,
        heightSpec: Int,
    ) {
        val width = MeasureSpec.getSize(widthSpec)
        val all = (0 until childCount).map(::getChildAt)
        all.forEach {
            it.visibility = View.VISIBLE
            it.measure(MeasureSpec.makeMeasureSpec(width, MeasureSpec.EXACTLY), MeasureSpec.UNSPECIFIED)
        }
        var height = all.sumOf { it.measuredHeight + it.place.top }
        val ranks = all.map { it.place.yields }.filter { it != NEVER }.distinct().sortedDescending()
        for (rank in ranks) {
            if (height <= room) break
            all.filter { it.place.yields == rank }.forEach {
                it.visibility = View.GONE
                height -= it.measuredHeight + it.place.top
            }
        }
        setMeasuredDimension(width, height)
    }

    override fun onLayout(
        changed: Boolean,
        l: Int,
        t: Int,
        r: Int,
        b: Int,
    ) {
        var top = 0
        for (i in 0 until childCount) {
            val child = getChildAt(i)
            if (child.visibility == View.GONE) continue
            top += child.place.top
            child.layout(0, top, child.measuredWidth, top + child.measuredHeight)
            top += child.measuredHeight
        }
    }

    override fun generateDefaultLayoutParams(): LayoutParams = Place(0, NEVER)

    override fun shouldDelayChildPressedState() = false

    private val View.place get() = layoutParams as Place

    companion object {
        const val NEVER = 0
    }
}
