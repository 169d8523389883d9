package plinth.app.phone

import android.content.Context

/** A part of the platform that every device has. */
internal inline fun <reified T> Context.service(): T = checkNotNull(getSystemService(T::class.java)) { "no ${T::class.java.simpleName}" }
