package plinth.app.look

import android.view.View
import android.widget.LinearLayout
import android.widget.ScrollView
import plinth.app.R
import plinth.core.Event
import plinth.core.PageButton

/** The head of a window: back, and the list of contents in words. */
internal class Head(
    private val look: Look,
    private val send: (Event) -> Unit,
    private val contents: () -> Unit,
) : LinearLayout(look.context) {
    init {
        orientation = HORIZONTAL
        setPadding(look.px(16), look.px(8), look.px(16), 0)
    }

    fun show(
        back: PageButton?,
        open: Boolean,
    ) {
        removeAllViews()
        back?.takeIf { !open }?.let {
            addView(look.button(Touch(it) { send(Event.Page(it.event)) }, HEIGHT), lines(width = LayoutParams.WRAP_CONTENT))
        }
        addView(View(context), lines(width = 0, height = 1, weight = 1f))
        val label = context.getString(if (open) R.string.closed_contents else R.string.contents)
        addView(look.button(Touch(label, contents), HEIGHT), lines(width = LayoutParams.WRAP_CONTENT))
    }

    private companion object {
        const val HEIGHT = 48
    }
}

/** The five places. */
internal class Contents(
    private val look: Look,
    private val send: (Event) -> Unit,
    private val close: () -> Unit,
) : ScrollView(look.context) {
    private val column = look.column()

    init {
        setPadding(look.px(16), look.px(8), look.px(16), look.px(16))
        addView(column)
    }

    fun show(places: List<PageButton>) {
        column.removeAllViews()
        places.forEach { place ->
            val touch =
                Touch(place) {
                    close()
                    send(Event.Page(place.event))
                }
            column.addView(look.opener(touch, HEIGHT).also { look.style(it, 24, medium = place.chosen, colour = it.currentTextColor) })
        }
    }

    private companion object {
        const val HEIGHT = 64
    }
}
