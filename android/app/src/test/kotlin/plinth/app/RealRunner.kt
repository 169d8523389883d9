package plinth.app

import kotlinx.coroutines.CoroutineDispatcher
import kotlinx.coroutines.Dispatchers
import org.junit.runners.model.FrameworkMethod
import org.robolectric.RobolectricTestRunner
import org.robolectric.internal.bytecode.InstrumentationConfiguration

/** Runs the app over the real library: what loads it stays outside the sandbox, once for all tests. */
class RealRunner(
    test: Class<*>,
) : RobolectricTestRunner(test) {
    override fun createClassLoaderConfig(method: FrameworkMethod): InstrumentationConfiguration =
        InstrumentationConfiguration
            .Builder(super.createClassLoaderConfig(method))
            .doNotAcquirePackage("com.sun.jna")
            .build()
}

/** The app, whose record a test opens when it is ready, and whose calls to the core are over when they return. */
internal class HeldApp : PlinthApp() {
    override fun begin() = Unit

    override fun dispatcher(): CoroutineDispatcher = Dispatchers.Unconfined

    override fun disk(): CoroutineDispatcher = Dispatchers.Unconfined
}
