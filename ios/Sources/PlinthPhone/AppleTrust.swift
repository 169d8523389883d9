#if canImport(Security) && canImport(CryptoKit)
    import CryptoKit
    import Foundation
    import PlinthKit
    import Security

    #if canImport(FoundationNetworking)
        import FoundationNetworking
    #endif

    /// Finds out about a certificate what the platform can, and has `Trust` decide.
    struct AppleJudge: ChallengeJudge {
        let trust: Trust

        func judge(_ challenge: URLAuthenticationChallenge) -> Judgement {
            let space = challenge.protectionSpace
            guard space.authenticationMethod == NSURLAuthenticationMethodServerTrust else { return .leave }
            guard let shown = space.serverTrust, let seen = AppleJudge.seen(shown) else { return .refuse(.untrusted) }
            if let trouble = trust.refusal(seen) { return .refuse(trouble) }
            return .take(URLCredential(trust: shown))
        }

        private static func seen(_ shown: SecTrust) -> SeenCertificate? {
            guard let chain = SecTrustCopyCertificateChain(shown) as? [SecCertificate], let leaf = chain.first else {
                return nil
            }
            let bytes = SecCertificateCopyData(leaf) as Data
            let fingerprint = SHA256.hash(data: bytes).map { String(format: "%02x", $0) }.joined()
            let full = evaluate(shown)
            return SeenCertificate(
                fingerprint: fingerprint, time: time(leaf), trusted: full == nil || full == errSecHostNameMismatch,
                namesHost: full == nil)
        }

        /// Whether the clock is within a certificate's time, judged with the certificate as its own anchor.
        private static func time(_ leaf: SecCertificate) -> SeenCertificate.Time {
            var alone: SecTrust?
            guard SecTrustCreateWithCertificates(leaf, SecPolicyCreateBasicX509(), &alone) == errSecSuccess, let alone
            else { return .within }
            SecTrustSetAnchorCertificates(alone, [leaf] as CFArray)
            switch evaluate(alone) {
            case errSecCertificateExpired?: return .over
            case errSecCertificateNotValidYet?: return .notBegun
            default: return .within
            }
        }

        /// What stands against it; nothing where it is good.
        private static func evaluate(_ trust: SecTrust) -> OSStatus? {
            var fault: CFError?
            if SecTrustEvaluateWithError(trust, &fault) { return nil }
            return fault.map { OSStatus(CFErrorGetCode($0)) } ?? errSecInternalError
        }
    }

    /// Servers over the platform's own HTTP.
    struct AppleServers: Servers {
        func transport(_ pairing: Pairing, metered: Bool) -> any TroubledTransport {
            HTTPTransport(pairing, metered: metered, judge: AppleJudge(trust: Trust(fingerprint: pairing.fingerprint)))
        }
    }
#endif
