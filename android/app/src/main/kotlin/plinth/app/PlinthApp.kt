package plinth.app

import android.app.Application
import kotlinx.coroutines.CoroutineDispatcher
import kotlinx.coroutines.CoroutineScope
import kotlinx.coroutines.Dispatchers
import kotlinx.coroutines.SupervisorJob
import plinth.app.phone.Files
import plinth.app.phone.Phone
import plinth.app.phone.Syncing

/** The process. The record is opened beside the first frame, not before it. */
internal open class PlinthApp : Application() {
    val phone by lazy { Phone(this) }
    private val scope = CoroutineScope(SupervisorJob() + Dispatchers.Main)
    val house: House by lazy {
        House(this, phone, scope, dispatcher()) { syncing.perform(it) }.also { it.betweenSessions = { files.copyWhereDue() } }
    }
    val files: Files by lazy { Files(this, house, phone, scope, disk()) }
    val syncing: Syncing by lazy { Syncing(this, phone, house, scope) }

    /** Where calls to the core run, one after another. */
    protected open fun dispatcher(): CoroutineDispatcher = Dispatchers.IO.limitedParallelism(1)

    /** Where files are copied. */
    protected open fun disk(): CoroutineDispatcher = Dispatchers.IO

    /** What the process begins with. */
    protected open fun begin() = house.open()

    override fun onCreate() {
        super.onCreate()
        begin()
    }
}
