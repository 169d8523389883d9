package plinth.companion

import plinth.boundary.LogLine
import plinth.boundary.Outcome
import plinth.boundary.PlinthException
import plinth.boundary.SyncStep
import plinth.core.Block
import plinth.core.Deed
import plinth.core.Effect
import plinth.core.Event
import plinth.core.FloorEvent
import plinth.core.Language
import plinth.core.PageEvent
import plinth.core.Screen
import plinth.core.Spot
import java.nio.ByteBuffer
import java.nio.charset.CharacterCodingException
import kotlin.reflect.KClass
import kotlin.reflect.KProperty1
import kotlin.reflect.full.memberProperties
import kotlin.reflect.full.primaryConstructor
import kotlin.reflect.full.superclasses

/** Writes typed values as Rust writes them: fields in order, names in small letters, enums by their tags. */
class Json {
    /** Every class of the boundary that was written, by name. */
    val seen = sortedSetOf<String>()

    fun write(value: Any?): String = StringBuilder().also { put(it, value) }.toString()

    private fun put(
        out: StringBuilder,
        value: Any?,
    ) {
        when (value) {
            null -> {
                out.append("null")
            }

            is Boolean, is Int, is Long, is UShort, is UInt, is ULong, is UByte, is Byte -> {
                out.append(value)
            }

            is String -> {
                quote(out, value)
            }

            is ByteArray -> {
                quote(out, textOrHex(value))
            }

            is List<*> -> {
                out.append('[')
                value.forEachIndexed { n, item ->
                    if (n > 0) out.append(',')
                    put(out, item)
                }
                out.append(']')
            }

            is Enum<*> -> {
                seen += "${value::class.simpleName}.${value.name}"
                quote(out, WORDS[value] ?: value.name.lowercase())
            }

            is Event.Floor, is Event.Page -> {
                seen += "Event.${value::class.simpleName}"
                put(out, if (value is Event.Floor) value.v1 else (value as Event.Page).v1)
            }

            else -> {
                fields(out, value)
            }
        }
    }

    private fun fields(
        out: StringBuilder,
        value: Any,
    ) {
        val kind = value::class
        val shape = SHAPES.getOrPut(kind) { Shape(kind) }
        seen += shape.name
        var first = true
        out.append('{')
        shape.tag?.let { (tag, word) ->
            out.append('"').append(tag).append("\":")
            quote(out, word)
            first = false
        }
        members(out, shape, value, first)
        out.append('}')
    }

    private fun members(
        out: StringBuilder,
        shape: Shape,
        value: Any,
        isFirst: Boolean,
    ) {
        var first = isFirst
        for ((name, property) in shape.fields) {
            val member = property.get(value)
            if (value is Screen) {
                // The screen of a place has its members beside the tag.
                val inner = SHAPES.getOrPut(member!!::class) { Shape(member::class) }
                seen += inner.name
                members(out, inner, member, first)
                continue
            }
            if (!first) out.append(',')
            first = false
            quote(out, name)
            out.append(':')
            put(out, member)
        }
    }

    private class Shape(
        kind: KClass<out Any>,
    ) {
        private val sealedIn = kind.superclasses.firstOrNull { it in TAGS }
        val name = listOfNotNull(sealedIn?.simpleName, kind.simpleName).joinToString(".")
        val tag = sealedIn?.let { TAGS.getValue(it) to snake(kind.simpleName!!) }
        val fields: List<Pair<String, KProperty1<Any, *>>> =
            kind.primaryConstructor
                ?.parameters
                .orEmpty()
                .map { parameter ->
                    @Suppress("UNCHECKED_CAST")
                    val property = kind.memberProperties.first { it.name == parameter.name } as KProperty1<Any, *>
                    snake(parameter.name!!) to property
                }.also { require(kind.objectInstance != null || it.isNotEmpty()) { "$kind has no fields" } }
    }

    companion object {
        private val SHAPES = HashMap<KClass<out Any>, Shape>()

        /** The field that names the variant of an enum that carries something. */
        val TAGS: Map<KClass<*>, String> =
            mapOf(
                FloorEvent::class to "event",
                PageEvent::class to "page",
                Screen::class to "shows",
                Block::class to "block",
                Spot::class to "spot",
                Deed::class to "deed",
                SyncStep::class to "step",
                Effect::class to "effect",
                LogLine::class to "line",
                Outcome::class to "outcome",
                PlinthException::class to "kind",
            )

        /** Enums whose words are not their names. */
        private val WORDS: Map<Enum<*>, String> = mapOf(Language.ENGLISH to "en", Language.GERMAN to "de")

        private fun snake(name: String) = name.replace(Regex("(?<=[a-z0-9])[A-Z]")) { "_" + it.value }.lowercase()

        /** The text that bytes are, or the bytes where they are none. */
        private fun textOrHex(bytes: ByteArray): String =
            try {
                Charsets.UTF_8
                    .newDecoder()
                    .decode(ByteBuffer.wrap(bytes))
                    .toString()
            } catch (_: CharacterCodingException) {
                "hex:" + bytes.joinToString("") { "%02x".format(it) }
            }

        fun quote(
            out: StringBuilder,
            text: String,
        ) {
            out.append('"')
            for (c in text) {
                when (c) {
                    '"' -> out.append("\\\"")
                    '\\' -> out.append("\\\\")
                    '\n' -> out.append("\\n")
                    '\r' -> out.append("\\r")
                    '\t' -> out.append("\\t")
                    '\b' -> out.append("\\b")
                    '\u000c' -> out.append("\\f")
                    in '\u0000'..'\u001f' -> out.append("\\u%04x".format(c.code))
                    else -> out.append(c)
                }
            }
            out.append('"')
        }
    }
}
