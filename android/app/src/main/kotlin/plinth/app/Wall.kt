package plinth.app

import android.content.Context
import android.view.View
import android.widget.FrameLayout
import android.widget.LinearLayout
import plinth.app.floor.FloorView
import plinth.app.floor.Notice
import plinth.app.look.Contents
import plinth.app.look.Head
import plinth.app.look.Look
import plinth.app.look.Touch
import plinth.app.look.Weight
import plinth.app.look.button
import plinth.app.look.column
import plinth.app.look.heading
import plinth.app.look.lines
import plinth.app.page.AskView
import plinth.app.page.PageView
import plinth.app.phone.Asked
import plinth.app.phone.Files
import plinth.app.phone.Moments
import plinth.core.Event
import plinth.core.Language
import plinth.core.PageButton
import plinth.core.Screen

/** What stands in the window: the head, and the floor, a page, the contents, or why there is nothing. */
internal class Wall(
    context: Context,
    moments: Moments,
    /** For the left hand. */
    val mirrored: Boolean,
    files: Files,
    send: (Event) -> Unit,
    private val again: () -> Unit,
) {
    private val look = Look(context)

    /** The language that its own words are in. */
    val language: Language =
        if (context.resources.configuration.locales[0]
                .language == "de"
        ) {
            Language.GERMAN
        } else {
            Language.ENGLISH
        }
    private val floor = FloorView(look, moments, mirrored, send)
    private val page = PageView(look, mirrored, send)
    private val ask = AskView(look, files)
    private val head = Head(look, send) { flip() }
    private val contents = Contents(look, send) { contentsOpen = false }
    private val room = FrameLayout(context)

    /** All of it. A line of text is not wider than it can be read. */
    val view: LinearLayout =
        object : LinearLayout(context) {
            override fun onMeasure(
                widthSpec: Int,
                heightSpec: Int,
            ) {
                val spare = (MeasureSpec.getSize(widthSpec) - look.px(if (look.landscape) WIDEST * 2 else WIDEST)).coerceAtLeast(0)
                setPadding(spare / 2, 0, spare / 2, 0)
                super.onMeasure(widthSpec, heightSpec)
            }
        }.apply {
            orientation = LinearLayout.VERTICAL
            addView(head)
            addView(room, lines(height = 0, weight = 1f))
        }

    private var contentsOpen = false
    private var last: Triple<Shown, List<Notice>, Asked?>? = null

    /** Shows all of it. What is asked waits until no session is open. */
    fun show(
        shown: Shown,
        notices: List<Notice>,
        asked: Asked? = null,
    ) {
        last = Triple(shown, notices, asked)
        if (asked != null && shown is Shown.Here && !House.sessionOpen(shown.screen)) {
            ask.show(asked)
            head.visibility = View.GONE
            put(ask)
            return
        }
        when (shown) {
            is Shown.Opening -> {
                alone(look.text(look.context.getString(R.string.opening), 20, colour = look.soft))
            }

            is Shown.Failed -> {
                alone(failed(shown))
            }

            is Shown.Here -> {
                when (val screen = shown.screen) {
                    is Screen.Floor -> {
                        floor.show(screen.v1, shown.refused, notices)
                        place(floor, null, screen.v1.contents)
                    }

                    is Screen.Page -> {
                        page.show(screen.v1, shown.refused, notices)
                        place(page, screen.v1.back, screen.v1.contents)
                    }
                }
            }
        }
    }

    /** Closes the list of contents, where it is open. */
    fun closeContents(): Boolean = contentsOpen.also { if (it) flip() }

    private fun flip() {
        contentsOpen = !contentsOpen
        last?.let { (shown, notices, asked) -> show(shown, notices, asked) }
    }

    private fun place(
        what: View,
        back: PageButton?,
        places: List<PageButton>,
    ) {
        if (places.isEmpty()) contentsOpen = false
        head.visibility = if (places.isEmpty()) View.GONE else View.VISIBLE
        head.show(back, contentsOpen)
        if (contentsOpen) {
            contents.show(places)
            put(contents)
        } else {
            put(what)
        }
    }

    private fun alone(what: View) {
        head.visibility = View.GONE
        what.setPadding(look.px(16), look.px(32), look.px(16), look.px(16))
        put(what)
    }

    private fun put(what: View) {
        if (room.childCount == 1 && room.getChildAt(0) === what) return
        room.removeAllViews()
        room.addView(what)
    }

    private fun failed(shown: Shown.Failed): View =
        look.column().apply {
            addView(look.text(context.getString(R.string.cannot_open), 24, medium = true).heading())
            addView(look.text(sentence(shown.problem), 18), lines(top = look.px(12)))
            addView(look.text(sentence(shown.remedy), 18), lines(top = look.px(8)))
            val label = context.getString(R.string.try_again)
            addView(look.button(Touch(label, again), 64, Weight.ACT, 20), lines(top = look.px(20)))
        }

    private companion object {
        /** dp: about seventy letters (common practice, no source). */
        const val WIDEST = 560
    }
}
