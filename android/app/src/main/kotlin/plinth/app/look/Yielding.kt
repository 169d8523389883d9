package plinth.app.look

import android.view.View
import android.view.ViewGroup

/**
 * A column in which what [Keeps.FOLLOWS] goes past the end where there is no room for all of it, and the parent scrolls.
 * Where what is left has no room either, [Keeps.YIELDS] gives way, then [Keeps.YIELDS_LAST].
 */
internal class Yielding(
    look: Look,
) : ViewGroup(look.context) {
    /** What happens to a child where room is short. */
    enum class Keeps { STAYS, YIELDS, YIELDS_LAST, FOLLOWS }

    private class Place(
        val top: Int,
        val keeps: Keeps,
    ) : LayoutParams(MATCH_PARENT, WRAP_CONTENT)

    /** The height that there is. */
    var room: Int = Int.MAX_VALUE
        set(value) {
            if (field != value) {
                field = value
                requestLayout()
            }
        }

    /** The height of what stays whatever happens, once it is measured. */
    var staying: Int = 0
        private set

    fun add(
        view: View,
        top: Int = 0,
        keeps: Keeps = Keeps.STAYS,
    ) = addView(view, Place(top, keeps))

    override fun onMeasure(
        widthSpec: Int,
        heightSpec: Int,
    ) {
        val width = MeasureSpec.getSize(widthSpec)
        val all = (0 until childCount).map(::getChildAt)
        all.forEach { it.measure(MeasureSpec.makeMeasureSpec(width, MeasureSpec.EXACTLY), MeasureSpec.UNSPECIFIED) }
        staying = all.filter { it.place.keeps == Keeps.STAYS }.sumOf { it.tall }
        val gone = mutableSetOf<Keeps>()
        for (next in listOf(Keeps.YIELDS, Keeps.YIELDS_LAST)) {
            if (all.filter { it.place.keeps != Keeps.FOLLOWS && it.place.keeps !in gone }.sumOf { it.tall } > room) gone += next
        }
        all.forEach { it.visibility = if (it.place.keeps in gone) View.GONE else View.VISIBLE }
        setMeasuredDimension(width, all.filter { it.visibility == View.VISIBLE }.sumOf { it.tall })
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

    override fun generateDefaultLayoutParams(): LayoutParams = Place(0, Keeps.STAYS)

    override fun shouldDelayChildPressedState() = false

    private val View.place get() = layoutParams as Place

    private val View.tall get() = measuredHeight + place.top
}
