//! How water finds its way: laws, the network method, and a build turned into a network.
