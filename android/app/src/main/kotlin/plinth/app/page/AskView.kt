package plinth.app.page

import android.os.Build
import android.text.Editable
import android.text.InputType
import android.text.TextWatcher
import android.view.Gravity
import android.view.View
import android.view.inputmethod.EditorInfo
import android.widget.EditText
import android.widget.ScrollView
import plinth.app.R
import plinth.app.look.Look
import plinth.app.look.Touch
import plinth.app.look.Weight
import plinth.app.look.button
import plinth.app.look.column
import plinth.app.look.heading
import plinth.app.look.lines
import plinth.app.phone.Asked
import plinth.app.phone.Files

/** What is asked before a file is taken in, in the whole window. */
internal class AskView(
    private val look: Look,
    private val files: Files,
) : ScrollView(look.context) {
    private val column = look.column()
    private val words = field()
    private var shown: Asked? = null

    init {
        isFillViewport = true
        setPadding(look.px(16), look.px(24), look.px(16), look.px(16))
        clipToPadding = false
        addView(column)
    }

    /** Shows a question. */
    fun show(asked: Asked) {
        if (asked == shown) return
        shown = asked
        column.removeAllViews()
        when (asked) {
            is Asked.Programme -> programme(asked)
            is Asked.Words -> sealed(asked)
        }
    }

    private fun programme(asked: Asked.Programme) {
        add(look.text(text(R.string.ask_programme), 24, medium = true).heading(), 0)
        add(look.text(asked.name, 18), 12)
        add(look.text(text(R.string.ask_programme_what), 17), 8)
        act(R.string.take_in) { files.takeIn() }
        leave()
    }

    private fun sealed(asked: Asked.Words) {
        add(look.text(text(R.string.ask_words), 24, medium = true).heading(), 0)
        add(look.text(asked.name, 18), 12)
        add(look.text(text(R.string.ask_words_what), 17), 8)
        asked.wrong?.let {
            add(look.text(it, 18, medium = true).apply { accessibilityLiveRegion = View.ACCESSIBILITY_LIVE_REGION_POLITE }, 12)
        }
        if (words.text.toString() != files.typed) words.setText(files.typed)
        words.isEnabled = !asked.working
        add(words, 12)
        if (asked.working) {
            add(look.text(text(R.string.opening), 18, colour = look.soft), 16)
            return
        }
        act(R.string.restore) { files.restore() }
        leave()
    }

    private fun act(
        label: Int,
        press: () -> Unit,
    ) = add(look.button(Touch(text(label), press), WIDE, Weight.ACT, 20), 20)

    private fun leave() {
        val label = text(R.string.leave_it)
        add(look.button(Touch(label, files::leave), TARGET, Weight.OUTLINED), 12)
    }

    /** The words are a secret: no keyboard learns them, nothing fills them in or keeps them. */
    private fun field(): EditText =
        EditText(look.context).apply {
            inputType = InputType.TYPE_CLASS_TEXT or InputType.TYPE_TEXT_FLAG_MULTI_LINE or
                InputType.TYPE_TEXT_FLAG_NO_SUGGESTIONS or InputType.TYPE_TEXT_VARIATION_VISIBLE_PASSWORD
            look.style(this, 19) // after the kind of input, which brings a typeface of its own
            imeOptions = EditorInfo.IME_FLAG_NO_PERSONALIZED_LEARNING or EditorInfo.IME_FLAG_NO_EXTRACT_UI
            importantForAutofill = View.IMPORTANT_FOR_AUTOFILL_NO_EXCLUDE_DESCENDANTS
            isSaveEnabled = false
            hint = text(R.string.words_here)
            setHintTextColor(look.soft)
            background = look.box(look.ink, width = 2, pressed = look.ground)
            gravity = Gravity.TOP or Gravity.START
            minLines = LINES
            setPadding(look.px(12), look.px(10), look.px(12), look.px(10))
            if (Build.VERSION.SDK_INT >= Build.VERSION_CODES.R) importantForContentCapture = View.IMPORTANT_FOR_CONTENT_CAPTURE_NO
            addTextChangedListener(
                object : TextWatcher {
                    override fun beforeTextChanged(
                        text: CharSequence?,
                        start: Int,
                        count: Int,
                        after: Int,
                    ) = Unit

                    override fun onTextChanged(
                        text: CharSequence?,
                        start: Int,
                        before: Int,
                        count: Int,
                    ) = Unit

                    override fun afterTextChanged(text: Editable?) {
                        files.typed = text.toString()
                    }
                },
            )
        }

    private fun add(
        view: View,
        top: Int,
    ) = column.addView(view, lines(top = look.px(top)))

    private fun text(id: Int): String = look.context.getString(id)

    private companion object {
        const val WIDE = 64
        const val TARGET = 48

        /** 24 words, four to a line. */
        const val LINES = 6
    }
}
