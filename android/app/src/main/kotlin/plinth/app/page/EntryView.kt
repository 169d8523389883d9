package plinth.app.page

import android.text.Editable
import android.text.InputType
import android.text.TextWatcher
import android.view.View
import android.view.inputmethod.EditorInfo
import android.widget.EditText
import android.widget.LinearLayout
import plinth.app.look.Look
import plinth.app.look.Touch
import plinth.app.look.Weight
import plinth.app.look.button
import plinth.app.look.heading
import plinth.app.look.lines
import plinth.core.Block
import plinth.core.Keys

/** A line to write in, with its button. [typed] keeps what was written and not yet saved. */
internal class EntryView(
    private val look: Look,
    entry: Block.Entry,
    private val typed: MutableMap<String, String>,
    private val save: (String) -> Unit,
) : LinearLayout(look.context) {
    init {
        orientation = VERTICAL
        addView(look.text(entry.label, 18, medium = true).heading())
        entry.notes.forEach { addView(look.text(it, 16, colour = look.soft), lines(top = look.px(4))) }
        val line = line(entry)
        addView(line, lines(top = look.px(8)))
        val keep = Touch(entry.save, "${entry.save}: ${entry.label}") { save(line.text.toString()) }
        addView(look.button(keep, PageView.TARGET, Weight.OUTLINED), lines(top = look.px(8)))
    }

    private fun line(entry: Block.Entry): EditText =
        look.style(EditText(look.context), 18).apply {
            inputType = keyboard(entry.keys)
            if (entry.keys != Keys.WORDS) {
                keyListener =
                    android.text.method.DigitsKeyListener
                        .getInstance(LETTERS.getValue(entry.keys))
            }
            setText(typed[entry.field] ?: entry.value)
            setHintTextColor(look.soft)
            contentDescription = entry.label
            background = look.box(look.ink, pressed = look.panel)
            setPadding(look.px(10), look.px(8), look.px(10), look.px(8))
            minHeight = look.px(PageView.TARGET)
            imeOptions = EditorInfo.IME_ACTION_DONE
            importantForAutofill = View.IMPORTANT_FOR_AUTOFILL_NO
            setOnEditorActionListener { view, action, _ ->
                (action == EditorInfo.IME_ACTION_DONE).also { if (it) save(view.text.toString()) }
            }
            addTextChangedListener(
                object : TextWatcher {
                    override fun beforeTextChanged(
                        s: CharSequence?,
                        start: Int,
                        count: Int,
                        after: Int,
                    ) = Unit

                    override fun onTextChanged(
                        s: CharSequence?,
                        start: Int,
                        before: Int,
                        count: Int,
                    ) = Unit

                    override fun afterTextChanged(s: Editable) {
                        typed[entry.field] = s.toString()
                    }
                },
            )
        }

    private fun keyboard(keys: Keys): Int =
        when (keys) {
            Keys.WORDS -> InputType.TYPE_CLASS_TEXT or InputType.TYPE_TEXT_FLAG_CAP_SENTENCES
            Keys.WHOLE -> InputType.TYPE_CLASS_PHONE
            Keys.DECIMAL -> InputType.TYPE_CLASS_NUMBER or InputType.TYPE_NUMBER_FLAG_DECIMAL
            Keys.DATE -> InputType.TYPE_CLASS_DATETIME or InputType.TYPE_DATETIME_VARIATION_DATE
        }

    private companion object {
        /** What can be written; the core judges it. */
        val LETTERS = mapOf(Keys.WHOLE to "0123456789+- ", Keys.DECIMAL to "0123456789.,", Keys.DATE to "0123456789-./ ")
    }
}
