package plinth.app.floor

import android.view.View
import plinth.app.look.Columns
import plinth.app.look.Look
import plinth.app.look.WordButton

/**
 * The actions besides the wide one. They are made twice, for the foot and for the middle's end, and [part] says which of
 * them is seen where.
 */
internal class OtherActions(
    private val look: Look,
) {
    /** Those under the wide action. */
    var inFoot = Columns(look, 1)
        private set

    /** Those at the middle's end. */
    var inMiddle = Columns(look, 1)
        private set
    private var wrong: String? = null

    /** Takes new ones. [wrong] is the label of the one that says that something is wrong. */
    fun fill(
        wrong: String?,
        make: () -> Columns,
    ) {
        this.wrong = wrong
        inFoot = make()
        inMiddle = make()
        part(follow = false)
    }

    /** Lets them follow at the middle's end, but for a row that stays where the window has room for one. */
    fun part(follow: Boolean) {
        val kept = kept()
        inFoot.children.forEachIndexed { i, view -> view.seen(!follow || i in kept) }
        inMiddle.children.forEachIndexed { i, view -> view.seen(follow && i !in kept) }
        for (all in listOf(inFoot, inMiddle)) all.seen(all.children.any { it.visibility == View.VISIBLE })
    }

    private fun kept(): List<Int> {
        if (look.crowded) return emptyList()
        val first = (0 until ROW).toList()
        // Nobody who is hurt has to look for it.
        val at = inFoot.children.indexOfFirst { (it as? WordButton)?.text == wrong }
        return if (at < ROW) first else first.dropLast(1) + at
    }

    private val Columns.children get() = (0 until childCount).map(::getChildAt)

    private fun View.seen(seen: Boolean) {
        visibility = if (seen) View.VISIBLE else View.GONE
    }

    companion object {
        /** How many stand beside one another. */
        const val ROW = 3
    }
}
